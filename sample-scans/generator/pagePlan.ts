/** What is written where on the two pages, mm of the sheet. */
import type { SwabPlan } from './swab.ts';

export interface NibPlan {
  readonly name: string;
  readonly widthMm: number;
  /** A broad-edged nib: width and angle of its thin way; a round one when left out. */
  readonly stub?: StubEdge;
  /** Another ink in this pen: share of its absorption that is that of the ink of another seed. */
  readonly mixedWith?: { readonly inkSeed: number; readonly share: number };
  /** Median dose of a plain stroke; broader nibs are wetter. */
  readonly flow: number;
  readonly xHeightMm: number;
  readonly baselinesMm: readonly number[];
}

/** `widthMm` across the edge, this much along it; the edge lies at this angle (clockwise from the line of writing). */
export interface StubEdge {
  readonly thinMm: number;
  readonly angleDeg: number;
}

export interface PagePlan {
  readonly id: 'white' | 'yellow';
  readonly widthMm: number;
  readonly heightMm: number;
  /** The scan stops here; what is below is bare paper. */
  readonly scannedMm: number;
  readonly marginMm: number;
  readonly rightMm: number;
  readonly nibs: readonly NibPlan[];
  readonly even: SwabPlan;
  readonly graded: SwabPlan;
  readonly bareMm: readonly [number, number, number, number];
}

const EF = { name: 'EF', widthMm: 0.4, flow: 0.85, xHeightMm: 2.4 } as const;
const M = { name: 'M', widthMm: 0.65, flow: 1.15, xHeightMm: 2.8 } as const;
const B = { name: 'B', widthMm: 1.1, flow: 1.5, xHeightMm: 3.7 } as const;

/** A5. */
export const WHITE_PAGE: PagePlan = {
  id: 'white',
  widthMm: 148,
  heightMm: 210,
  scannedMm: 212,
  marginMm: 13,
  rightMm: 137,
  nibs: [
    { ...EF, baselinesMm: [24, 33.5, 43] },
    { ...M, baselinesMm: [64, 75, 86] },
    { ...B, baselinesMm: [109, 123] },
  ],
  even: { boxMm: [13, 142, 40, 14], doseFrom: 1.25, doseTo: 1.15 },
  graded: { boxMm: [61, 142, 74, 14], doseFrom: 0.3, doseTo: 2.4 },
  bareMm: [18, 170, 110, 26],
};

/** A6. */
export const YELLOW_PAGE: PagePlan = {
  id: 'yellow',
  widthMm: 105,
  heightMm: 148,
  scannedMm: 150,
  marginMm: 9,
  rightMm: 96,
  nibs: [
    { ...EF, baselinesMm: [16, 25] },
    { ...M, baselinesMm: [42, 52] },
    { ...B, baselinesMm: [71, 84] },
  ],
  even: { boxMm: [9, 97, 31, 12], doseFrom: 1.25, doseTo: 1.15 },
  graded: { boxMm: [46, 97, 50, 12], doseFrom: 0.3, doseTo: 2.4 },
  bareMm: [12, 119, 72, 20],
};

/** Every letter of the alphabet, our own sentence. */
export const PANGRAM = 'Vexed by six jumping quail, the wizard kept a few frozen chestnuts.';

/** Above the baseline and below it, in x-heights: capitals reach up, tails hang down. */
export const REACH_UP = 2.4;
export const REACH_DOWN = 1.45;
