/** Pages of real handwriting with exact truth: a 0.35 mm nib, two round ones and a stub whose width turns with direction, two swabs. */
import type { BenchOptions } from '../../sample-scans/generator/options.ts';
import type { NibPlan, PagePlan } from '../../sample-scans/generator/pagePlan.ts';

/** A sheet of 105 × 165 mm. */
export const WRITING_PAGE: PagePlan = {
  id: 'white',
  widthMm: 105,
  heightMm: 165,
  scannedMm: 167,
  marginMm: 9,
  rightMm: 96,
  nibs: [
    { name: 'XF', widthMm: 0.35, flow: 0.8, xHeightMm: 2.4, baselinesMm: [14, 23] },
    { name: 'M', widthMm: 0.65, flow: 1.15, xHeightMm: 2.8, baselinesMm: [38, 48] },
    { name: 'B', widthMm: 1.1, flow: 1.5, xHeightMm: 3.7, baselinesMm: [65, 78] },
    {
      name: 'stub',
      widthMm: 1.1,
      stub: { thinMm: 0.35, angleDeg: -30 },
      flow: 1.3,
      xHeightMm: 3.7,
      baselinesMm: [97, 110],
    },
  ],
  even: { boxMm: [9, 123, 31, 12], doseFrom: 1.25, doseTo: 1.15 },
  graded: { boxMm: [46, 123, 50, 12], doseFrom: 0.3, doseTo: 2.4 },
  bareMm: [12, 143, 72, 16],
};

const PAPERS = ['brightWhite', 'ivory', 'yellow', 'grey', 'green'] as const;

/** Every sixth seed is a yellow ink on grey paper, where luminance shows little. */
export function writingOptions(seed: number, nibs: readonly NibPlan[] = WRITING_PAGE.nibs): BenchOptions {
  const yellow = seed % 6 === 5;
  return {
    bits: 8,
    scans: ['target', 'white'],
    whitePaper: yellow ? 'grey' : PAPERS[seed % PAPERS.length],
    ...(yellow && { inkKind: 'yellow' }),
    whitePlan: { ...WRITING_PAGE, nibs },
    keepFields: true,
  };
}
