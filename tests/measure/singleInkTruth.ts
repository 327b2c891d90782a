/** What a perfect instrument would find in a drawing's single ink. */
import { type CompiledCalibration, signalToXyz } from '../../analysis/calibrate/apply.ts';
import { triple } from '../../analysis/triple.ts';
import { shadingOf } from '../../sample-scans/generator/inkTruth.ts';
import type { Drawing } from './drawInk.ts';

const STEP_MM = 0.04;

/** L* between the 90th and the 10th percentile of all ink that lies once, so far and further inside its line. */
export function singleInkShading(d: Drawing, calibration: CompiledCalibration, insideMm = 0.15): number {
  const list: { xyz: readonly [number, number, number]; weight: number }[] = [];
  for (let y = STEP_MM / 2; y < d.heightMm; y += STEP_MM) {
    for (let x = STEP_MM / 2; x < d.widthMm; x += STEP_MM) {
      const over = d.lines.flatMap(({ fromMm: [ax, ay], toMm: [bx, by], widthMm, dose }) => {
        const t = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / ((bx - ax) ** 2 + (by - ay) ** 2);
        const along = Math.min(1, Math.max(0, t));
        const deepMm = widthMm / 2 - Math.hypot(x - ax - along * (bx - ax), y - ay - along * (by - ay));
        return deepMm >= 0 ? [{ deepMm, dose: dose(along) }] : [];
      });
      if (over.length !== 1 || over[0].deepMm < insideMm) continue;
      const signal = triple((c) => d.paper[c] * Math.exp(-d.absorption[c] * over[0].dose));
      list.push({ xyz: signalToXyz(signal, calibration), weight: 1 });
    }
  }
  return shadingOf(list).dL;
}
