/** The paper under a strip's colour and the lines across it, on profiles without any noise but a little paper's own. */
import { describe, expect, test } from 'vitest';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';
import { paperLine, ticks } from '../../analysis/measure/strip/baseline.ts';
import type { StripProfile } from '../../analysis/measure/strip/profile.ts';

const [BINS, BIN_MM] = [360, 0.25];
type Density = (mm: number, channel: number) => number;

/** Bands of a density, a place and a deviation, all channels alike. */
const bell =
  (top: number, atMm: number, sdMm: number): Density =>
  (mm) =>
    top * Math.exp(-((mm - atMm) ** 2) / (2 * sdMm ** 2));
const sum =
  (...parts: Density[]): Density =>
  (mm, c) =>
    parts.reduce((all, part) => all + part(mm, c), 0);
const none: Density = () => 0;

function signals(seed: number, density: Density): Float64Array {
  const random = seededRandom(seed);
  return Float64Array.from({ length: 3 * BINS }, (_, k) => {
    const own = 0.0005 * normal(random);
    return 0.8 * 10 ** -(density((k % BINS) * BIN_MM, Math.floor(k / BINS)) + own);
  });
}

function profile(
  lane: Density,
  edge: Density,
  { side = null, margin = none }: { side?: Density | null; margin?: Density } = {},
): StripProfile {
  return {
    bins: BINS,
    binMm: BIN_MM,
    firstMm: 0,
    lane: signals(60_003, lane),
    side: side && signals(60_004, side),
    edge: signals(60_005, edge),
    margins: [signals(60_006, margin), signals(60_007, none)],
    laneMm2: 1,
    sideMm2: 1,
    clippedShare: new Float64Array(BINS),
  };
}

const LINE = bell(0.12, 20, 0.2);
const BAND = bell(0.6, 60, 3);
const placesMm = (marks: readonly { readonly centre: number }[]) => marks.map(({ centre }) => centre * BIN_MM);

describe('without bare paper beside the lane', () => {
  test('the paper lies under a broad band, and does not climb into it', () => {
    const { paper } = paperLine(profile(bell(0.4, 45, 14), none));
    const climbed = Array.from(paper.slice(0, BINS), (v) => -Math.log10(v / 0.8));
    expect(Math.max(...climbed)).toBeLessThan(0.01);
  });

  test('a line across is taken off where the edges are bare', () => {
    const { marks, crossing } = paperLine(profile(sum(LINE, BAND), LINE));
    expect(placesMm(marks)).toEqual([expect.closeTo(20, 0)]);
    expect(crossing).toEqual([]);
  });

  test('none is taken where the edges carry the lane’s own colour: a fine band would be one; what crosses the lane alike still tells an end', () => {
    const running = sum(BAND, bell(0.3, 40, 0.25));
    const found = paperLine(
      profile(
        sum(running, LINE),
        sum((mm, c) => 0.6 * running(mm, c), LINE),
      ),
    );
    expect(found.marks).toEqual([]);
    expect(placesMm(found.crossing)).toContainEqual(expect.closeTo(20, 0));
  });

  test.each([0, 0.25])('what is %f times as dark in the lane as at the edges does not cross it', (share) => {
    const lane = sum(BAND, (mm, c) => share * LINE(mm, c));
    const { crossing } = paperLine(
      profile(
        lane,
        sum((mm, c) => 0.6 * BAND(mm, c), LINE),
      ),
    );
    expect(crossing).toEqual([]);
  });
});

test('a pencil’s stroke from one margin is a tick, paper’s own speck is none', () => {
  // Three channels summed: 0.18 and 0.05.
  const at = (top: number) => ticks(profile(none, none, { margin: bell(top, 70, 0.35) }));
  expect(placesMm(at(0.06))).toEqual([expect.closeTo(70, 0)]);
  expect(at(0.017)).toEqual([]);
});
