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

/** What a seed's page is for: its ink alone, one pen that still held another ink, one with rinse water that another ink had coloured, or an ink with sheen. */
export type Page = 'plain' | 'mixed' | 'rinse' | 'sheen';
/** Share of the other ink's absorption; rinse water besides leaves less than half of the flow's dose. */
const MIXED_SHARES = [0.02, 0.04, 0.08, 0.16] as const;
const RINSE_SHARES = [0.03, 0.06, 0.12, 0.25] as const;
const RINSE_DOSE = 0.45;

export function pageOf(seed: number): Page {
  return (['plain', 'mixed', 'rinse', 'sheen'] as const)[seed % 4];
}

/** What the pen that is not clean holds; null on a page whose pens all are. */
export function otherInk(seed: number): { readonly inkSeed: number; readonly share: number } | null {
  const page = pageOf(seed);
  const shares = { mixed: MIXED_SHARES, rinse: RINSE_SHARES, plain: null, sheen: null }[page];
  return (
    shares && { inkSeed: seed + 500, share: shares[(Math.floor(seed / 4) + Math.floor(seed / 16)) % shares.length] }
  );
}

/** The pen of a mixed or rinsed page that held another ink. */
export function mixedNib(seed: number): string {
  return WRITING_PAGE.nibs[Math.floor(seed / 4) % WRITING_PAGE.nibs.length].name;
}

export function trialOptions(seed: number): BenchOptions {
  const page = pageOf(seed);
  if (page === 'sheen') return { ...writingOptions(seed), sheen: [0.04, 0.08, 0.12][Math.floor(seed / 4) % 3] };
  const mixedWith = otherInk(seed);
  if (mixedWith === null) return writingOptions(seed);
  const weaker = page === 'rinse' ? RINSE_DOSE : 1;
  return writingOptions(
    seed,
    WRITING_PAGE.nibs.map((nib) =>
      nib.name === mixedNib(seed) ? { ...nib, flow: weaker * nib.flow, mixedWith } : nib,
    ),
  );
}
