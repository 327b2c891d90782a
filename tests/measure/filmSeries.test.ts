/** Which doses may be fitted together, and which way a number is told: on doses and doubts made up at each limit. */
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, labToXyz } from '../../analysis/colour/lab.ts';
import type { DoseBin } from '../../analysis/measure/film/doses.ts';
import { isSurer, lengthOf } from '../../analysis/measure/film/rules.ts';
import {
  densitiesOf,
  distinct,
  doseSeries,
  type FilmPaper,
  type FilmRegion,
  seriesOn,
} from '../../analysis/measure/film/series.ts';

type Triple = readonly [number, number, number];

const lab = labD50(94, 0, 3);
const SIGNAL: Triple = [0.85, 0.86, 0.8];
const sheet = (id: string, clipped = false): FilmPaper => ({
  id,
  bare: { signal: SIGNAL, xyz: labToXyz(lab), lab },
  clipped,
});

/** A grey ink takes as much from all channels: its density is what was given. */
const bin = (density: number, more: Partial<DoseBin> = {}): DoseBin => {
  const [r, g, b] = SIGNAL.map((v) => v * Math.exp(-density));
  return { signal: [r, g, b], share: 1, spread: 0.04, clippedShare: 0, ...more };
};

function region(paper: number, bins: readonly DoseBin[], narrow = false): FilmRegion {
  return {
    paper,
    ink: {
      region: `${paper}`,
      colour: { xyz: labToXyz(lab), lab, covariance: [], pixels: 1000 },
      placement: [0, 0, 0],
      light: 0,
      paper: sheet('p').bare,
      flags: [],
    },
    doses: {
      bins,
      dark: bins[bins.length - 1].signal,
      light: bins[0].signal,
      narrow,
      uRepeat: { dE00: 0, dL: 0, dHueDeg: 0 },
    },
  };
}
/** A region for each density. */
const each = (paper: number, densities: readonly number[]) => densities.map((d) => region(paper, [bin(d)]));
const papersOf = (regions: readonly FilmRegion[], papers = [sheet('a'), sheet('b')]) =>
  doseSeries(papers, regions).papers;

test('density is the logarithm of paper over ink, by the channels that the ink takes away', () => {
  const doses = [0.3, 1.1].map((d) => ({ region: 0, paper: 0, signal: bin(d).signal, share: 1 }));
  expect(densitiesOf([sheet('a')], doses)).toEqual([expect.closeTo(0.3, 9), expect.closeTo(1.1, 9)]);
  // A yellow takes away blue alone: red and green say nothing of it.
  const yellow = [0.3, 1.1].map((d) => ({
    region: 0,
    paper: 0,
    signal: [0.85, 0.86, 0.8 * Math.exp(-d)] as const,
    share: 1,
  }));
  for (const [k, density] of densitiesOf([sheet('a')], yellow).entries())
    expect(Math.abs(density - [0.3, 1.1][k])).toBeLessThan(0.01);
});

test('densities are two from 12 % on', () => {
  expect(distinct([1, 1.11])).toBe(1);
  expect(distinct([1.13, 1])).toBe(2);
  // Each against the last that counts, not against its neighbour.
  expect(distinct([1, 1.06, 1.13, 1.19, 1.27])).toBe(3);
});

describe('a paper takes part', () => {
  const steps = (factor: number, count: number) => Array.from({ length: count }, (_, k) => 0.5 * factor ** k);

  test('with three doses of its own, where four are seen in all', () => {
    expect(papersOf(each(0, [0.3, 0.6, 1.2]))).toEqual([]);
    expect(papersOf(each(0, [0.3, 0.6, 1.2, 2]))).toEqual([0]);
    expect(papersOf([...each(0, [0.3, 0.6, 1.2, 2]), ...each(1, [0.4, 0.9])])).toEqual([0]);
    expect(papersOf([...each(0, [0.3, 0.6, 1.2]), ...each(1, [0.4, 0.8, 1.5])])).toEqual([0, 1]);
  });

  test('where all doses reach over a factor of 1.5', () => {
    expect(papersOf(each(0, steps(1.14, 4)))).toEqual([]);
    expect(papersOf(each(0, steps(1.15, 4)))).toEqual([0]);
  });

  test('those that do not say so, and one paper can be asked alone', () => {
    const papers = [sheet('a'), sheet('b')];
    const series = doseSeries(papers, [...each(0, [0.3, 0.6, 1.2, 2]), ...each(1, [0.4, 0.9])]);
    expect([...series.leftOut]).toEqual([
      [4, 'few-doses'],
      [5, 'few-doses'],
    ]);
    expect(series.doses.map((dose) => dose.paper)).toEqual([0, 0, 0, 0]);
    const both = doseSeries(papers, [...each(0, [0.3, 0.6, 1.2, 2]), ...each(1, [0.4, 0.8, 1.5])]);
    expect(seriesOn(both, 0, papers).papers).toEqual([0]);
    // Three doses alone are too few.
    expect(seriesOn(both, 1, papers).papers).toEqual([]);
  });
});

describe('left out', () => {
  const graded = [0.3, 0.6, 1.2, 2];
  const withClipped = (shares: readonly number[]) =>
    doseSeries(
      [sheet('a')],
      [
        ...each(0, graded),
        region(
          0,
          shares.map((clippedShare, k) => bin(0.4 + k, { share: 0.25, clippedShare })),
        ),
      ],
    );

  test('bins with more than 0.5 % of clipped pixels, and regions that lose more than half so', () => {
    const some = withClipped([0.004, 0.006, 0.004, 0.3]);
    expect(some.doses.filter((dose) => dose.region === 4)).toHaveLength(2);
    expect(some.leftOut.has(4)).toBe(false);
    const most = withClipped([0.004, 0.006, 0.006, 0.3]);
    expect(most.doses.filter((dose) => dose.region === 4)).toEqual([]);
    expect(most.leftOut.get(4)).toBe('clipped');
  });

  test('narrow lines, and all on a clipped paper', () => {
    const narrow = doseSeries([sheet('a')], [...each(0, graded), region(0, [bin(1)], true)]);
    expect([...narrow.leftOut]).toEqual([[4, 'narrow']]);
    const clipped = doseSeries([sheet('a', true)], each(0, graded));
    expect(clipped.papers).toEqual([]);
    expect(new Set(clipped.leftOut.values())).toEqual(new Set(['clipped']));
  });
});

describe('film or map', () => {
  test('a colour goes by the film however unsure, a difference where its u is below twice the map’s', () => {
    expect(isSurer(50, 1, 'colour')).toBe(true);
    expect([1.9, 2.1].map((film) => isSurer(film, 1, 'difference'))).toEqual([true, false]);
  });

  test('three uncertainties of a colour as one length: what each of them makes by itself, in quadrature', () => {
    // A green: there lightness, chroma and hue do not mix in CIEDE2000.
    const ink = labD50(60, -30, 18);
    const step = (k: number, by: number) =>
      labD50(ink[0] + (k === 0 ? by : 0), ink[1] + (k === 1 ? by : 0), ink[2] + (k === 2 ? by : 0));
    const u = [0.4, 0.9, 0.6] as const;
    const each = u.map((v, k) => (deltaE2000(ink, step(k, 0.01)) / 0.01) * v);
    expect(lengthOf(ink, u) / Math.hypot(...each)).toBeCloseTo(1, 2);
  });
});
