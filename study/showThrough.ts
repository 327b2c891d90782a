/** What measuring the back of a page is off by, over drawn pages with exact truth (backPages.ts). */
import { compileCalibration } from '../analysis/calibrate/apply.ts';
import type { Calibration } from '../analysis/calibrate/calibration.ts';
import { nominalCalibration } from '../analysis/calibrate/nominal.ts';
import { flatSurface } from './flatSurface.ts';
import { measureReverse, type ReverseMeasure } from '../analysis/measure/showThrough/measureReverse.ts';
import { type BackOptions, type BackPage, drawBackPage } from './backPages.ts';

/** Signals are light already, and Y the mean that backPages.ts takes. */
const PLAIN: Calibration = {
  ...nominalCalibration,
  judgement: 'good',
  model: 'linear',
  matrix: [
    [0.9642 * 0.25, 0.9642 * 0.65, 0.9642 * 0.1],
    [0.25, 0.65, 0.1],
    [0.8249 * 0.25, 0.8249 * 0.65, 0.8249 * 0.1],
  ],
};

export function measuredBack(
  seed: number,
  options: BackOptions & { alone?: boolean } = {},
): {
  page: BackPage;
  measure: ReverseMeasure;
} {
  const page = drawBackPage(seed, options);
  const calibration = compileCalibration(PLAIN);
  const measure = measureReverse({
    id: `back-${seed}`,
    back: page.back,
    calibration,
    front: options.alone ? null : { region: 'front', signal: page.front, calibration, paper: flatSurface(page.paper) },
    scanFlags: [],
  });
  return { page, measure };
}
