/** The pieces that edges are told by, each on lines and profiles made up for it. */
import { describe, expect, test } from 'vitest';
import { boxCore, boxLevel } from '../../analysis/measure/edge/blurredBox.ts';
import type { CentreLine } from '../../analysis/measure/edge/centreLine.ts';
import { besideEdges, firmStrokes, isFree } from '../../analysis/measure/edge/firmStations.ts';
import { leaveOutFused } from '../../analysis/measure/edge/fusedStations.ts';
import {
  BY_CHANNELS,
  type FitData,
  fitData,
  fitOneStep,
  fittedValues,
  fitTwoSteps,
} from '../../analysis/measure/edge/profileFit.ts';
import { smoothPath } from '../../analysis/measure/edge/smoothPath.ts';
import { bootstrapDeviations, stretchesOf } from '../../analysis/measure/edge/stretches.ts';
import { normalSum } from '../../analysis/normalCurve.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';

/** A level line through y = 50, a station at each pixel. */
function levelLine(stations: number): CentreLine {
  const of = (value: (i: number) => number) => Float64Array.from({ length: stations }, (_, i) => value(i));
  return {
    x: of((i) => i),
    y: of(() => 50),
    nx: of(() => 0),
    ny: of(() => 1),
    turn: of(() => 0),
    stepPx: 1,
    aimedStepPx: 1,
    freeStart: true,
    freeEnd: true,
  };
}
const ones = (n: number) => new Uint8Array(n).fill(1);
const MM = 300 / 25.4;

describe('steps across an edge', () => {
  const at = Float64Array.from({ length: 61 }, (_, k) => 0.5 * (k - 40));
  /** Paper, ring if there is one, and ink of four channels. */
  const drawn = (
    lineWidthPx: number,
    steps: readonly (readonly [edge: number, sigma: number, levels: readonly number[]])[],
  ): FitData => ({
    at,
    values: [0, 1, 2, 3].map((c) =>
      at.map((x) =>
        steps.reduce((sum, [edge, sigma, levels]) => {
          const far = lineWidthPx - edge;
          return sum + levels[c] * (normalSum((x - edge) / sigma) - normalSum((x - far) / sigma));
        }, [1, 1, 1, 0][c]),
      ),
    ),
    fitted: BY_CHANNELS,
    place: new Float64Array(at.length).fill(1),
    lineWidthPx,
  });
  const fall = [-0.7, -0.5, -0.3, 0.9];

  test.each([30, 6])('one step: its place, its blur and its levels, of a line %i px broad', (lineWidthPx) => {
    const data = drawn(lineWidthPx, [[0.3, 1.1, fall]]);
    const fit = fitOneStep(data, [0, 0.8]);
    expect(fit.edgePx).toBeCloseTo(0.3, 3);
    expect(fit.sigmaPx).toBeCloseTo(1.1, 3);
    fall.forEach((v, c) => expect(fit.ink[c] - fit.paper[c]).toBeCloseTo(v, 3));
    expect(fit.misfit).toBeLessThan(1e-8);
    expect(fittedValues(data, fit, 0)[20]).toBeCloseTo(data.values[0][20], 4);
  });

  test('two steps: ring and ink with a blur each, and what one blur for both makes of them', () => {
    const ring = [-0.08, -0.15, -0.05, 0.12];
    const data = drawn(30, [
      [-4, 1.6, ring],
      [0.2, 1, fall],
    ]);
    const fit = fitTwoSteps(data, [0, 1, 3, 1]);
    expect(fit.edgePx).toBeCloseTo(0.2, 2);
    expect(fit.ringPx).toBeCloseTo(-4, 1);
    expect([fit.sigmaPx, fit.ringSigmaPx]).toEqual([expect.closeTo(1, 2), expect.closeTo(1.6, 1)]);
    ring.forEach((v, c) => expect(fit.ring![c] - fit.paper[c]).toBeCloseTo(v, 3));
    fall.forEach((v, c) => expect(fit.ink[c] - fit.ring![c]).toBeCloseTo(v, 2));
    const one = fitTwoSteps(data, [0, 1, 3, 1], undefined, true);
    expect(one.ringSigmaPx).toBe(one.sigmaPx);
    expect(one.misfit).toBeGreaterThan(10 * fit.misfit);
    // One step leaves more.
    expect(fitOneStep(data, [0, 1]).misfit).toBeGreaterThan(10 * one.misfit);
  });

  test('places that a quarter of the edges reach count, each by how many do', () => {
    const counts = Float64Array.from(at, (_, k) => (k < 5 ? 20 : k < 10 ? 30 : 100));
    const column = Float64Array.from(at, (_, k) => k);
    const all = { atPx: at, channels: [column, column, column] as const, contrast: column, counts, lineWidthPx: 8 };
    const data = fitData(all, BY_CHANNELS, 100, 4);
    expect(data.at[0]).toBe(at[5]);
    expect(data.at.at(-1)).toBe(4);
    expect([data.place[0], data.place[5]]).toEqual([0.3, 1]);
    expect(data.values[3][0]).toBe(5);
    expect(fitData(all, BY_CHANNELS, 3, 100).at[0]).toBe(-3);
    expect(fitData(all, BY_CHANNELS, 100, 4, 0.1).at[0]).toBe(at[0]);
  });
});

describe('a box that blur has left no core', () => {
  /** Its middle, averaged over the pixel about it. */
  const middle = (width: number, sigma: number) => {
    const n = 400;
    let sum = 0;
    for (let k = 0; k < n; k++) {
      const x = (k + 0.5) / n - 0.5;
      sum += normalSum((width / 2 - x) / sigma) - normalSum((-width / 2 - x) / sigma);
    }
    return sum / n;
  };

  test.each([
    [2, 0.9],
    [3, 1.2],
    [5, 1],
  ])('%f px broad, sigma %f: its height from its middle, and the level at its own edge', (width, sigma) => {
    expect(boxCore(0.7 * middle(width, sigma), width, sigma)).toBeCloseTo(0.7, 2);
    const edge = normalSum(width / sigma) - 0.5;
    expect(boxLevel(0.7, width, sigma, 0.5)).toBeCloseTo(0.7 * edge, 6);
    // Of a broad one, at the share of the fall that is asked for.
    expect(boxLevel(0.7, 20 * sigma, sigma, 0.6)).toBeCloseTo(0.42, 6);
  });
});

describe('an edge’s smooth path', () => {
  const n = 400;
  const line = levelLine(n);
  const straight = new Float64Array(n).fill(1e-9);
  const path = (away: (i: number) => number, bend = straight, counted = ones(n)) =>
    smoothPath(
      line,
      1,
      Float64Array.from({ length: n }, (_, i) => away(i)),
      counted,
      bend,
      MM,
    );

  test('follows a parabola, and a straight line over 2.4 mm either way', () => {
    const found = path((i) => 6 + 2e-4 * (i - 200) ** 2);
    for (const i of [0, 50, 200, 399]) expect(found.away[i]).toBeCloseTo(6 + 2e-4 * (i - 200) ** 2, 3);
    expect(found.halfStations[200]).toBeCloseTo(2.4 * MM, 6);
  });

  test.each([
    [1, 0.95],
    [2, 0.95 * 2 ** 0.75],
    [0.2, 0.4],
    [30, 2.4],
  ])('on an edge bent with %f mm its half window is %f mm', (radiusMm, halfMm) => {
    // The line’s own radius is that of the edge and the edge’s distance.
    const bend = new Float64Array(n).fill(1 / (radiusMm * MM + 6));
    expect(path(() => 6, bend).halfStations[200]).toBeCloseTo(halfMm * MM, 3);
  });

  test('from a bend on windows grow by a quarter of the way', () => {
    const bend = Float64Array.from({ length: n }, (_, i) => (i < 100 ? 1 / (MM + 6) : 1e-9));
    const { halfStations } = path(() => 6, bend);
    expect(halfStations[145] - halfStations[125]).toBeCloseTo(0.25 * 20, 1);
    expect(halfStations[390]).toBeCloseTo(2.4 * MM, 3);
  });

  const noise = (() => {
    const random = seededRandom(3);
    return Float64Array.from({ length: n }, () => 0.05 * normal(random));
  })();
  const bump = (from: number, to: number, height: number) =>
    path((i) => 6 + noise[i] + (i >= from && i < to ? height : 0));

  test('a hair of up to 0.6 mm along the edge does not pull it outwards; what is longer is the edge’s', () => {
    const short = bump(200, 206, 2);
    expect(Array.from(short.outlier.slice(198, 208))).toEqual([0, 0, 1, 1, 1, 1, 1, 1, 0, 0]);
    expect(Math.abs(short.away[203] - 6)).toBeLessThan(0.05);
    const long = bump(200, 209, 2);
    expect(long.outlier[204]).toBe(0);
    expect(long.away[204] - 6).toBeGreaterThan(0.2);
  });

  test('an outlier is out by three standard deviations and 0.02 mm; inwards there is none', () => {
    // Noise of 0.15 px: three of it are 0.45, five 0.75.
    const rough = (height: number) =>
      path((i) => 6 + 3 * noise[i] + (i === 200 ? height - 3 * noise[i] : 0)).outlier[200];
    expect([rough(0.36), rough(0.56)]).toEqual([0, 1]);
    expect(bump(200, 203, -0.8).outlier.some((v) => v === 1)).toBe(false);
    // A smooth edge: 0.02 mm are 0.24 px.
    const smooth = (height: number) => path((i) => 6 + (i === 200 ? height : 0)).outlier[200];
    expect([smooth(0.22), smooth(0.28)]).toEqual([0, 1]);
  });

  test('what hairs stand on goes with a wave that the path does not follow', () => {
    const wave = (i: number) => 6 + 0.6 * Math.sin((2 * Math.PI * i) / 24);
    const { away, base } = path(wave);
    const off = (values: Float64Array) => Math.max(...[190, 196, 202, 208].map((i) => Math.abs(values[i] - wave(i))));
    expect(off(away)).toBeGreaterThan(0.4);
    expect(off(base)).toBeLessThan(0.3);
  });
});

describe('places that do not count', () => {
  const stroke = (widths: readonly number[], direction = 0) => {
    const n = widths.length;
    const away = Float64Array.from(widths, (w) => w / 2);
    const side = (s: -1 | 1) => ({ side: s, away, core: away, slope: away });
    return {
      stroke: { line: levelLine(n), direction: new Uint8Array(n).fill(direction), inner: ones(n), single: ones(n) },
      edges: { left: side(-1), right: side(1) },
      counted: ones(n),
    };
  };
  const widths = (usual: (i: number) => number, broad: readonly [from: number, to: number, width: number]) =>
    Array.from({ length: 500 }, (_, i) => (i >= broad[0] && i < broad[1] ? broad[2] : usual(i)));
  const leftOut = (usual: (i: number) => number, broad: readonly [number, number, number]) => {
    const one = stroke(widths(usual, broad));
    leaveOutFused([one]);
    return 500 - one.counted.reduce((a, b) => a + b, 0);
  };
  const even = () => 8;

  test('of an even nib those 1.3 times as broad, with three tenths of their width on either hand', () => {
    expect(leftOut(even, [200, 220, 10.3])).toBe(0);
    expect(leftOut(even, [200, 220, 10.6])).toBe(20 + 2 * 3);
    expect(leftOut(even, [200, 220, 20])).toBe(20 + 2 * 6);
  });

  test('but not where they go on for four times their width', () => {
    expect(leftOut(even, [200, 247, 12])).toBe(47 + 2 * 4);
    expect(leftOut(even, [200, 249, 12])).toBe(0);
  });

  test('of a hand whose pressure scatters widths, those beyond four standard deviations', () => {
    const random = seededRandom(8);
    // No quarter of them lies within 5 %.
    const scattered = Float64Array.from({ length: 500 }, () => 8 + 1.3 * normal(random));
    const hand = (i: number) => scattered[i];
    expect(leftOut(hand, [200, 220, 12])).toBe(0);
    expect(leftOut(hand, [200, 220, 15])).toBeGreaterThan(20);
  });

  test('a stub’s direction may be as broad as its neighbours, not as those across', () => {
    const random = seededRandom(9);
    const of = (mean: number, direction: number) =>
      stroke(
        Array.from({ length: 500 }, () => mean * (1 + 0.12 * normal(random))),
        direction,
      );
    const odd = (direction: number) =>
      stroke(
        widths(() => 5 * (1 + 0.12 * normal(random)), [200, 220, 12]),
        direction,
      );
    const counts = (direction: number) => {
      const own = odd(direction);
      leaveOutFused([of(12, 6), of(11, 7), own]);
      return own.counted.reduce((a, b) => a + b, 0);
    };
    expect(counts(0)).toBeLessThan(480);
    expect(counts(8)).toBe(500);
  });

  test('an edge is free where nothing lies nearer than seven tenths of 2.5 sigma and a pixel beyond it', () => {
    const line = levelLine(60);
    const { right } = stroke(Array.from({ length: 60 }, () => 8)).edges;
    // Sigma 2: looked at 6 px beyond the edge, at y = 60. The line's own ink ends at 54, other ink begins further down.
    const free = (other: number) => {
      const awayPx = Float32Array.from({ length: 60 * 100 }, (_, i) => {
        const y = Math.floor(i / 60);
        return Math.min(Math.abs(y - 54), Math.abs(y - other));
      });
      const mask = { data: new Uint8Array(60 * 100), widthPx: 60, heightPx: 100 };
      return isFree(besideEdges({ awayPx, mask }, 2), line, 30, right);
    };
    expect([free(64), free(65)]).toEqual([false, true]);
  });

  test('widths count from 0.2 mm beside what was left out on, unless that leaves less than half of their direction', () => {
    const nothingNear = { awayPx: new Float32Array(500 * 100).fill(99), widthPx: 500, heightPx: 100, out: 6 };
    const crossed = (every: number, direction: number) => {
      const one = stroke(Array.from({ length: 500 }, even), direction);
      for (let i = 50; i < 450; i += every) one.stroke.single[i] = 0;
      one.counted.forEach((_, i) => (one.counted[i] = one.stroke.single[i]));
      return one;
    };
    const sum = (counted: Uint8Array) => counted.reduce((a, b) => a + b, 0);
    const [seldom, often] = firmStrokes([crossed(40, 0), crossed(6, 3)], nothingNear, MM);
    // Two pixels on either hand of ten crossings.
    expect(sum(seldom.counted)).toBe(500 - 10 * 5);
    // Of every six stations one would be left: it counts as far as its own reach.
    expect(sum(often.counted)).toBe(500 - 67);
  });
});

describe('stretches', () => {
  test('are 2 mm long, whatever the stations’ step', () => {
    const { of, count } = stretchesOf([240, 60], (s) => (s === 0 ? 12 : 6));
    expect(count).toBe(10 + 5);
    expect([of[0][0], of[0][23], of[0][24], of[0][239], of[1][0], of[1][59]]).toEqual([0, 0, 1, 9, 10, 14]);
  });

  test('drawn anew a mean of them scatters by their own scatter over the root of how many there are', () => {
    const random = seededRandom(5);
    const values = Array.from({ length: 50 }, () => normal(random));
    const mean = (weight: Float64Array) => values.reduce((sum, v, k) => sum + weight[k] * v, 0) / 50;
    const own = Math.sqrt(values.reduce((sum, v) => sum + (v - mean(new Float64Array(50).fill(1))) ** 2, 0) / 50);
    const [deviation, twice] = bootstrapDeviations(
      50,
      1,
      (weight, into) => {
        into[0] = mean(weight);
        into[1] = 2 * mean(weight);
      },
      2,
      2000,
    );
    expect(Math.abs((deviation * Math.sqrt(50)) / own - 1)).toBeLessThan(0.06);
    expect(twice).toBeCloseTo(2 * deviation, 12);
    expect(Array.from(bootstrapDeviations(1, 1, (_, into) => void (into[0] = 1), 1))).toEqual([0]);
  });
});
