/** Whether a fit is believed, which regions it leaves out, and what is asked of it along its curve. */
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, xyzToLab } from '../../analysis/colour/lab.ts';
import { absorptionOf, fittedDoses } from '../../analysis/film/absorption.ts';
import { straightened } from '../../analysis/film/bend.ts';
import { looksBrightened } from '../../analysis/film/brightened.ts';
import { doseCurve, nearestDose } from '../../analysis/film/doseCurve.ts';
import { filmColour } from '../../analysis/film/filmColour.ts';
import { fitFilm } from '../../analysis/film/fitFilm.ts';
import { WAVELENGTHS_NM, xyzOnGrid } from '../../analysis/film/grid.ts';
import { judgeFit } from '../../analysis/film/judge.ts';
import { longSideNm } from '../../analysis/film/narrow.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { filmWorld } from '../../study/filmWorlds.ts';
import { drawInk, drawPaper, inkOnPaper } from '../../study/simulatedColours.ts';

const DOSES = [0.12, 0.25, 0.45, 0.8, 1.2, 1.7, 2.2];
const world = filmWorld(211);
const sensors = world.sensors.spectra;
const bell = (at: number, sd: number): number[] =>
  WAVELENGTHS_NM.map((nm) => 0.01 + Math.exp(-(((nm - at) / sd) ** 2) / 2));
const ofMaximum1 = (k: readonly number[]): number[] => k.map((v) => v / Math.max(...k));
const blue = ofMaximum1(bell(600, 42));
const ink = drawInk(blue, seededRandom(3));
const other = drawInk(ofMaximum1(bell(500, 40)), seededRandom(4));
const papers = [drawPaper('white', seededRandom(5)), drawPaper('cream', seededRandom(6))];
const straight = (r: ArrayLike<number>) => straightened(world.signal(Float64Array.from(r)), sensors.bends);
const input = {
  papers: papers.map((paper) => ({ signal: straight(paper) })),
  regions: papers.flatMap((paper, p) =>
    DOSES.map((dose) => ({ id: `${p}-${dose}`, paper: p, signal: straight(inkOnPaper(ink, dose, paper)) })),
  ),
};
const fit = fitFilm(input, sensors);
const withSignal = (region: number, signal: readonly [number, number, number]) => ({
  ...input,
  regions: input.regions.map((r, i) => (i === region ? { ...r, signal } : r)),
});

describe('judgement', () => {
  test('a sound ink fits, and nothing is held against it', () => {
    const judged = judgeFit(fit, [labD50(95, 0, 3), labD50(92, 1, 12)]);
    expect(judged).toMatchObject({ verdict: 'fits', misfits: [], narrow: false, brightened: [], converged: true });
    expect(judged.ratio).toBeGreaterThan(0.1);
    expect(judged.ratio).toBeLessThan(0.6);
  });

  test('a region of another ink is named first, and the verdict falls', () => {
    const judged = judgeFit(fitFilm(withSignal(4, straight(inkOnPaper(other, 0.8, papers[0]))), sensors));
    expect(judged.verdict).not.toBe('fits');
    expect(judged.misfits[0].region).toBe(4);
    expect(judged.misfits[0].how).toBe('another hue');
  });

  test('light that no dose of the ink throws back, as sheen adds it, is told', () => {
    const [r, g, b] = straight(inkOnPaper(ink, 2.2, papers[0]));
    const judged = judgeFit(fitFilm(withSignal(6, [r + 0.06, g + 0.06, b + 0.06]), sensors));
    expect(judged.verdict).not.toBe('fits');
    expect(judged.misfits.map(({ region }) => region)).toContain(6);
  });

  test('a paper that the map sees blue is brightened', () => {
    expect(judgeFit(fit, [labD50(95, 2, -4), labD50(95, 0, 6)]).brightened).toEqual([0]);
  });

  test.each([
    ['white with much brightener', 93, 4, -11, true],
    ['white without', 95, 0, 2, false],
    ['dyed pink', 84, 20.5, -9.6, false],
    ['dyed pale blue', 88, -4, -9, false],
    ['dyed pale lilac', 86, 5, -6, false],
    ['grey', 72, 0, -3, false],
    // Each too far in one way alone.
    ['light lilac', 94, 8, -6, false],
    ['light, of a strong blue', 92, 2, -16, false],
    ['light and greenish', 93, -4, -6, false],
  ])('a paper %s', (_, L, a, b, isBrightened) => {
    expect(looksBrightened(labD50(L, a, b))).toBe(isBrightened);
  });

  test('a target whose patches its spectra do not explain is told', () => {
    const other = { ...sensors, noise: [1.5e-3, 0.03] as const };
    const judged = judgeFit({ ...fit, sensors: other });
    expect([judged.targetDoubtful, judged.verdict]).toEqual([true, 'doubtful']);
    expect(judgeFit(fit).targetDoubtful).toBe(false);
    expect(judgeFit({ ...fit, sensors: { ...other, taughtBy: 'lab' } }).targetDoubtful).toBe(false);
  });

  test.each([
    [0.3, 'fits'],
    [0.31, 'doubtful'],
    [0.98, 'doubtful'],
    [1, 'does not fit'],
  ])('a chi-square of %f per signal is judged: %s', (share, verdict) => {
    expect(judgeFit({ ...fit, chiSquare: share * fit.signals }).verdict).toBe(verdict);
  });

  test('an interrupted fit says so and is doubtful', () => {
    const judged = judgeFit(fitFilm(input, sensors, { iterations: 1, starts: 1 }));
    expect(judged.converged).toBe(false);
    expect(judged.verdict).not.toBe('fits');
  });
});

describe('the ink’s own curve', () => {
  const absorption = absorptionOf(fit);

  test('k has its maximum of 1 where the ink absorbs most', () => {
    expect(Math.max(...absorption.k)).toBe(1);
    expect(Math.abs(absorption.peak.nm - 600)).toBeLessThan(absorption.peak.u);
    // Between 580 and 650 nm three channels tell a broad band's place no better.
    expect(absorption.peak.u).toBeLessThan(18);
  });

  test('the truth lies within its doubt over most of the spectrum', () => {
    const within = absorption.k.filter((v, l) => Math.abs(v - blue[l]) <= 2 * absorption.u[l]).length;
    expect(within / absorption.k.length).toBeGreaterThan(0.85);
    expect(Math.max(...absorption.u)).toBeLessThan(0.3);
  });

  test('doses come back in their ratios', () => {
    const doses = fittedDoses(fit);
    expect(doses).toHaveLength(14);
    for (const i of [2, 3, 4, 5]) {
      const ratio = doses[i].dose / doses[1].dose / (DOSES[i] / DOSES[1]);
      expect(Math.abs(Math.log(ratio))).toBeLessThan(3 * Math.hypot(doses[i].uShare, doses[1].uShare));
    }
  });

  test('a band that falls to half within 15 nm is narrow', () => {
    expect(longSideNm(bell(540, 10))).toBeCloseTo(11.9, 0);
    expect(longSideNm(bell(600, 42))).toBeGreaterThan(40);
    expect(longSideNm(WAVELENGTHS_NM.map(() => 1))).toBe(Infinity);
  });
});

describe('from dose to colour', () => {
  const seenDoses = fittedDoses(fit).map(({ dose }) => dose);
  const grid = Array.from({ length: 40 }, (_, i) => 0.05 * 60 ** (i / 39));
  const curve = doseCurve(fit, 0, grid);

  test('at a region’s own dose it is the region’s colour, with about its doubt', () => {
    const [point] = doseCurve(fit, 0, [seenDoses[3]]);
    const region = filmColour(fit, 2 + 3);
    // Other kinds of ink are read at the dose of the same signal, which is not quite the one fitted.
    expect(deltaE2000(point.lab, region.lab)).toBeLessThan(0.001);
    for (const k of [0, 1, 2]) {
      expect(point.u[k]).toBeLessThan(2 * region.u[k]);
      expect(point.u[k]).toBeGreaterThan(0.5 * region.u[k]);
    }
  });

  test('more ink is darker', () => {
    for (let i = 1; i < curve.length; i++) expect(curve[i].lab[0]).toBeLessThan(curve[i - 1].lab[0]);
  });

  test('a dose that was not fitted is told from its signal, within its doubt', () => {
    for (const dose of [0.35, 1, 1.9]) {
      const r = inkOnPaper(ink, dose, papers[0]);
      const near = nearestDose(curve, straight(r));
      expect(near.beyond).toBeNull();
      expect(near.away).toBeLessThan(0.7);
      expect(deltaE2000(near.lab, xyzToLab(xyzOnGrid(r)))).toBeLessThan(0.7);
      expect(near.dose).toBeGreaterThan(curve[near.from].dose * 0.999);
      expect(near.dose).toBeLessThan(curve[near.from + 1].dose * 1.001);
    }
  });

  test('paler than the curve’s beginning and denser than its end are said', () => {
    const short = curve.slice(10, 20);
    expect(nearestDose(short, curve[3].signal).beyond).toBe('paler');
    expect(nearestDose(short, curve[30].signal).beyond).toBe('denser');
    expect(nearestDose(short, curve[15].signal)).toMatchObject({ beyond: null });
    expect(nearestDose(short, curve[15].signal).dose).toBeCloseTo(curve[15].dose, 6);
  });
});
