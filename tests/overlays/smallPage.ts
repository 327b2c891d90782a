/** A small written page as a task for a picture, with marks and findings made by hand, so that these tests know every pixel. */
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { INK_MARKS } from '../../analysis/measure/ink.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import type { Flag, LabValue, Quantity } from '../../analysis/quantity.ts';
import type { OverlayRegion, OverlayTask, RegionResult } from '../../electron/jobs/tasks.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { drawPng } from '../host/drawPng.ts';
import type { TestFolder } from '../host/folder.ts';

export const PAPER: LabValue = [94, 0.5, 3];
export const INK: LabValue = [32.1, -3, -41.2];

/** A scan of one colour, with a bar of another. Device values, 8 bit. */
export async function writeScan(
  folder: TestFolder,
  name: string,
  size: readonly [widthPx: number, heightPx: number],
  colours: { readonly paper: readonly number[]; readonly ink: readonly number[] } = {
    paper: [240, 238, 232],
    ink: [30, 70, 140],
  },
) {
  const [widthPx, heightPx] = size;
  const samples = new Uint8Array(3 * widthPx * heightPx);
  for (let i = 0; i < samples.length; i++) {
    const y = Math.floor(i / 3 / widthPx);
    samples[i] = (y >= 40 && y < 60 ? colours.ink : colours.paper)[i % 3];
  }
  return scanInfo(folder.put(name, drawPng({ widthPx, heightPx, samples })));
}

export function quantity(
  name: Quantity['quantity'],
  value: Quantity['value'],
  unit: Quantity['unit'],
  u: Quantity['u'],
  more: { readonly flags?: readonly Flag[]; readonly verdict?: string; readonly band?: number } = {},
): Quantity {
  return {
    quantity: name,
    subject: { regions: ['a'], ...(more.band === undefined ? {} : { band: more.band }) },
    value,
    unit,
    u,
    flags: more.flags ?? [],
    method: `${name}/1`,
    ...(more.verdict === undefined ? {} : { verdict: more.verdict }),
  };
}

export function strokesResult(id: string, flags: readonly Flag[] = []): RegionResult {
  const widthPx = 120;
  const heightPx = 60;
  const data = Uint8Array.from({ length: widthPx * heightPx }, (_, i) => {
    const x = i % widthPx;
    const y = Math.floor(i / widthPx);
    if (y < 20 || y >= 40) return INK_MARKS.none;
    if (x >= 100) return INK_MARKS.doubleLayer;
    return y < 23 || y >= 37 ? INK_MARKS.ink : x < 20 ? INK_MARKS.dark : x < 40 ? INK_MARKS.light : INK_MARKS.counted;
  });
  return {
    id,
    quantities: [
      quantity('inkColour', INK, 'Lab', [0.4, 0.5, 0.6], { flags }),
      quantity('shading', 3.4, 'ΔE00', 0.3, { flags, verdict: 'clear' }),
    ],
    ink: {
      region: id,
      colour: { pixels: 2000, xyz: [0.1, 0.1, 0.2], lab: labD50(...INK), covariance: [0, 0, 0, 0, 0, 0, 0, 0, 0] },
      placement: [0, 0, 0],
      light: 0,
      paper: { signal: [0.9, 0.9, 0.9], xyz: [0.85, 0.88, 0.7], lab: labD50(...PAPER) },
      flags,
    },
    marks: { data, widthPx, heightPx },
    spread: null,
    strip: null,
  };
}

export function strokes(id: string, flags: readonly Flag[] = []): OverlayRegion {
  return { id, kind: 'strokes', nib: 'EF', boxPx: [20, 20, 120, 60], result: strokesResult(id, flags) };
}

export function pageTask(
  info: OverlayTask['info'],
  regions: readonly OverlayRegion[],
  more: Partial<OverlayTask> = {},
): OverlayTask {
  return {
    task: 'overlay',
    info,
    dpi: 100,
    scanId: 'white',
    paper: 'bright white',
    calibration: nominalCalibration,
    target: null,
    regions,
    ...more,
  };
}
