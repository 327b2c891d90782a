/** How a scan's device values become colours: through its calibration, its profile, or as sRGB for want of both. */
import {
  compileCalibration,
  linearise,
  signalsToXyz,
  type CompiledCalibration,
  type LinearRoom,
} from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { openImage } from '../scans/openImage.ts';
import { profileCalibration, uncalibratedBy } from '../scans/uncalibrated.ts';
import type { ViewScan } from './messages.ts';
import { Recent } from './recent.ts';

/**
 * Interleaved XYZ (D50, Y = 1 for the perfect diffuser) of a raster; its place and resolution tell the light of the bed.
 * @param room where it is written, as long as the raster. @default a new one
 */
export type ToXyz = (raster: DeviceRaster, room?: LinearRoom) => Float32Array;

export interface ColourWay {
  readonly toXyz: ToXyz;
  readonly compiled: CompiledCalibration;
  /** null: not calibrated. */
  readonly calibrated: CompiledCalibration | null;
}

/** A few megabytes each. */
const known = new Recent<Promise<ColourWay>>(6);

/** Kept by the colours' key: the same key is the same calibration or the same profile. */
export function colourWay(scan: ViewScan): Promise<ColourWay> {
  const { by, key } = scan.colours;
  // Without a resolution no place on the bed is known, and so no unevenness of its light.
  const name = `${by} ${key} ${scan.dpi === null ? 'nowhere' : 'placed'}`;
  return known.get(name) ?? known.set(name, newWay(scan));
}

/** Whether a scan's profile can be used: null, or why not, one clause. */
export async function profileProblem(file: string): Promise<string | null> {
  const { icc } = await (await openImage(file)).metadata();
  if (!icc) return 'it carries no profile';
  return (await profileCalibration(icc)) === null ? 'its profile is damaged or not one for RGB' : null;
}

async function newWay(scan: ViewScan): Promise<ColourWay> {
  const { colours, dpi } = scan;
  if (colours.by === 'calibration') {
    const { calibration } = colours;
    const compiled = compileCalibration(dpi === null ? { ...calibration, flatField: null } : calibration);
    return { toXyz: throughCurves(compiled), compiled, calibrated: compiled };
  }
  // By the same way that measuring goes: what is shown and what is told are one colour.
  const compiled = compileCalibration(
    colours.by === 'assumed-srgb' ? nominalCalibration : (await uncalibratedBy(scan.info)).calibration,
  );
  return { toXyz: throughCurves(compiled), compiled, calibrated: null };
}

function throughCurves(compiled: CompiledCalibration): ToXyz {
  return (raster, room) => {
    const { data } = linearise(raster, compiled, room);
    signalsToXyz(data, compiled, data);
    return data;
  };
}
