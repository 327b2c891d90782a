/** What lies under a disc of the scan: its mean device values, exactly, and its colour. Runs in the worker. */
import { insideTargetGamut, linearise, type CompiledCalibration } from '../../analysis/calibrate/apply.ts';
import { colourUncertainty, sharedDoubt } from '../../analysis/calibrate/uncertainty.ts';
import { xyzToLab, type Xyz } from '../../analysis/colour/lab.ts';
import { isccNbsName } from '../../analysis/colour/name.ts';
import type { Flag, LabValue } from '../../analysis/quantity.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { triple } from '../../analysis/triple.ts';
import { ScanError } from '../scans/scanError.ts';
import type { ProbeAnswer, ProbeTask, ViewAnswer } from './messages.ts';
import { withLevel } from './openScans.ts';
import { colourWay } from './scanColours.ts';

/** Larger discs are no probe, but they would have to be read. */
const MOST_RADIUS_PX = 256;

export async function probe(task: ProbeTask): Promise<ViewAnswer<ProbeAnswer>> {
  const { scan, xPx, yPx } = task;
  const { info } = scan;
  if (!(xPx >= 0 && yPx >= 0 && xPx < info.widthPx && yPx < info.heightPx)) {
    throw new ScanError(
      'scan-outside',
      `${info.file}: (${xPx}, ${yPx}) px lies outside; expected a place on the scan of ${info.widthPx} × ${info.heightPx} px. Point at it.`,
    );
  }
  const radiusPx = Math.min(MOST_RADIUS_PX, Math.max(0, task.radiusPx));
  const way = await colourWay(scan);
  const found = await withLevel(task.folder, scan, 0, 'scan', async (source): Promise<ProbeAnswer> => {
    const [left, right] = reach(xPx, radiusPx, info.widthPx);
    const [top, bottom] = reach(yPx, radiusPx, info.heightPx);
    const raster: DeviceRaster = {
      data: await source.read([left, top, right - left, bottom - top]),
      widthPx: right - left,
      heightPx: bottom - top,
      bits: info.bits,
      dpi: scan.dpi ?? 0,
      originPx: [left, top],
    };
    const disc = discOf(raster, xPx, yPx, radiusPx);
    const xyz = way.toXyz(raster);
    const lab = xyzToLab(meanOf(xyz, disc));
    const noise = meanNoise(spread(xyz, disc), disc.length);
    const { calibrated, compiled } = way;
    const open = colourUncertainty(lab, compiled.calibration);
    return {
      xPx,
      yPx,
      radiusPx,
      pixels: disc.length,
      bits: info.bits,
      device: meanOf(raster.data, disc),
      lab,
      u: triple((k) => Math.hypot(open[k], noise[k])),
      noise,
      shared: sharedDoubt(lab, compiled.calibration),
      name: isccNbsName(lab),
      flags: flagsOf(raster, disc, calibrated),
    };
  });
  return found === null ? { is: 'wants-pyramid' } : { is: 'done', ...found };
}

function reach(centre: number, radius: number, end: number): [from: number, to: number] {
  return [Math.max(0, Math.floor(centre - radius)), Math.min(end, Math.floor(centre + radius) + 1)];
}

/** Pixels whose centres lie in the disc; a disc between centres is the pixel that it lies in. */
function discOf({ widthPx, heightPx, originPx }: DeviceRaster, x: number, y: number, radius: number): number[] {
  const disc: number[] = [];
  for (let row = 0; row < heightPx; row++) {
    for (let column = 0; column < widthPx; column++) {
      const [dx, dy] = [originPx[0] + column + 0.5 - x, originPx[1] + row + 0.5 - y];
      if (dx * dx + dy * dy <= radius * radius) disc.push(row * widthPx + column);
    }
  }
  if (disc.length === 0) disc.push((Math.floor(y) - originPx[1]) * widthPx + Math.floor(x) - originPx[0]);
  return disc;
}

function meanOf(values: ArrayLike<number>, disc: readonly number[]): Xyz {
  return triple((k) => disc.reduce((sum, pixel) => sum + values[3 * pixel + k], 0) / disc.length);
}

/** Standard deviation of L*, a*, b* over the disc. */
function spread(xyz: Float32Array, disc: readonly number[]): LabValue {
  const labs = disc.map((pixel) => xyzToLab([xyz[3 * pixel], xyz[3 * pixel + 1], xyz[3 * pixel + 2]]));
  return triple((k) => {
    const mean = labs.reduce((sum, lab) => sum + lab[k], 0) / labs.length;
    return Math.sqrt(labs.reduce((sum, lab) => sum + (lab[k] - mean) ** 2, 0) / Math.max(1, labs.length - 1));
  });
}

/** Standard uncertainty of the mean of so many pixels. */
function meanNoise(sd: LabValue, pixels: number): LabValue {
  return triple((k) => sd[k] / Math.sqrt(pixels));
}

function flagsOf(raster: DeviceRaster, disc: readonly number[], calibrated: CompiledCalibration | null): Flag[] {
  const flags: Flag[] = [];
  const top = raster.bits === 8 ? 255 : 65535;
  const atEnd = (i: number): boolean => raster.data[i] === 0 || raster.data[i] === top;
  if (disc.some((pixel) => atEnd(3 * pixel) || atEnd(3 * pixel + 1) || atEnd(3 * pixel + 2))) flags.push('clipped');
  if (calibrated === null) return [...flags, 'uncalibrated'];
  if (calibrated.calibration.judgement === 'poor') flags.push('poor-calibration');
  const signal = meanOf(linearise(raster, calibrated).data, disc);
  if (!insideTargetGamut(signal, calibrated)) flags.push('outside-target-gamut');
  return flags;
}
