/** The invented bench's strips, ready to measure: cut to their box, calibrated by the bench's own card. */
import { compileCalibration, linearise, type CompiledCalibration } from '../../analysis/calibrate/apply.ts';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import type { StripInput } from '../../analysis/measure/strip/measureStrip.ts';
import { homography } from '../../analysis/raster/homography.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { parseReference } from '../../electron/sheet/reference.ts';
import { readPatches, readSurround } from '../calibrate/readWhole.ts';
import { locateDrawn } from '../locate/locateDrawn.ts';
import { renderBench, type Bench } from '../../sample-scans/generator/bench.ts';
import type { BenchOptions } from '../../sample-scans/generator/options.ts';
import type { StripTruth } from '../../sample-scans/generator/stripTruth.ts';

export interface BenchStrip {
  readonly input: StripInput;
  readonly truth: StripTruth;
}

export function benchStrips(seed: number, options: BenchOptions = {}): BenchStrip[] {
  const bench = renderBench(seed, { scans: ['target', 'strip-fresh', 'strip-dried'], ...options });
  const calibration = calibrationOf(bench);
  return bench.sheet.regions.flatMap((region): BenchStrip[] => {
    if (region.kind !== 'strip') return [];
    const scan = bench.scans.find((s) => s.id === region.scan)!;
    const { raster, shiftMm } = cut(scan.raster, region.boxMm);
    return [
      {
        input: {
          id: region.id,
          signal: linearise(raster, calibration),
          calibration,
          travel: region.travel,
          originMm: region.originMm + shiftMm[region.travel === 'up' || region.travel === 'down' ? 1 : 0],
          frontMm: region.frontMm + shiftMm[region.travel === 'up' || region.travel === 'down' ? 1 : 0],
          run: region.run,
        },
        truth: bench.truth.strips[region.run],
      },
    ];
  });
}

function calibrationOf(bench: Bench): CompiledCalibration {
  const scan = bench.scans.find((s) => s.id === 'target')!.raster;
  const { layout, referenceText } = bench.card!;
  const reference = parseReference(referenceText, 'reference.txt');
  const found = locateDrawn(scan, layout, reference);
  if ('problem' in found) throw new Error(found.problem);
  const toPx = homography(layout.pointsMm, found.pointsPx);
  return compileCalibration(
    fitCalibration(readPatches(scan, layout, toPx), reference, {
      surround: readSurround(scan, layout, toPx),
    }),
  );
}

/** The box in whole pixels, and how much the cut moved its top-left corner, mm. */
function cut(
  scan: DeviceRaster,
  boxMm: readonly [number, number, number, number],
): { raster: DeviceRaster; shiftMm: [number, number] } {
  const pxPerMm = scan.dpi / 25.4;
  const [x, y, w, h] = boxMm.map((v) => Math.round(v * pxPerMm));
  const data = scan.bits === 8 ? new Uint8Array(3 * w * h) : new Uint16Array(3 * w * h);
  for (let row = 0; row < h; row++) {
    const from = 3 * ((y + row) * scan.widthPx + x);
    data.set(scan.data.subarray(from, from + 3 * w), 3 * row * w);
  }
  return {
    raster: { ...scan, data, widthPx: w, heightPx: h, originPx: [x, y] },
    shiftMm: [boxMm[0] - x / pxPerMm, boxMm[1] - y / pxPerMm],
  };
}
