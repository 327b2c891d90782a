/** Widths, raggedness and hairs of edges that are made up along one drawn line's stations, so that mean, scatter and doubt are known by hand. */
import { describe, expect, test } from 'vitest';
import { inkInRatio } from '../../analysis/locate/inkMask.ts';
import { strokeInterior } from '../../analysis/locate/strokeInterior.ts';
import { feathering } from '../../analysis/measure/edge/excursions.ts';
import { foundEdges, type FoundEdges } from '../../analysis/measure/edge/foundEdges.ts';
import { type Hair, howMany, meanBeyond } from '../../analysis/measure/edge/hairs.ts';
import type { TwoEdges } from '../../analysis/measure/edge/lineEdges.ts';
import { lagSums, raggednessPx, responseOf, unseenVariance } from '../../analysis/measure/edge/raggedness.ts';
import { beyondWander, wanderOf } from '../../analysis/measure/edge/wander.ts';
import { widthFigures } from '../../analysis/measure/edge/widths.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';
import { pathOf, smoothEdge, strokeAlong } from '../../study/edges/strokeShapes.ts';
import { inputOf } from '../../study/edges/worlds.ts';
import { strokesPage } from './strokesPage.ts';

const PX_PER_MM = 300 / 25.4;

/** Two straight smooth lines, 24 mm long. */
function drawn(): FoundEdges {
  const strokes = [2.6, 6.4].map((y) =>
    strokeAlong(
      pathOf((t) => [2 + 24 * t, y + 0.7 * t]),
      () => 0.35,
      () => 1.2,
      { shape: smoothEdge() },
      seededRandom(5),
    ),
  );
  const page = strokesPage(strokes);
  const input = inputOf(page);
  const ratio = input.signal.data.map((v, i) => v / page.paper[i % 3]);
  const ink = inkInRatio(ratio, input.signal, input.paper!.pixelNoise)!;
  const sigmaPx = input.scannerBlurMm! * PX_PER_MM;
  return foundEdges(ink, strokeInterior(ink, 300, sigmaPx), PX_PER_MM, sigmaPx)!;
}
const page = drawn();
const countedPx = page.strokes.reduce((sum, s) => sum + howMany(s.counted) * s.stroke.line.stepPx, 0);
/** All that is seen counts. */
const whole: FoundEdges = { ...page, lengthPx: countedPx };

/** Each edge half of `width(i)` from the middle, i counting on from stroke to stroke. */
function edgesOf(width: (i: number) => number): (stroke: FoundEdges['strokes'][number]) => TwoEdges {
  const first = new Map<FoundEdges['strokes'][number], number>();
  let next = 0;
  for (const stroke of page.strokes) {
    first.set(stroke, next);
    next += stroke.counted.length;
  }
  return (stroke) => {
    const from = first.get(stroke) ?? 0;
    const away = Float64Array.from(stroke.counted, (_, i) => width(from + i) / 2);
    const of = (side: -1 | 1) => ({ side, away, core: away, slope: away });
    return { left: of(-1), right: of(1) };
  };
}

const figures = (width: (i: number) => number, found = whole, more: readonly [shift?: number, noise?: number] = []) =>
  widthFigures(found, edgesOf(width), more[0] ?? 0, PX_PER_MM, 1, more[1])!;
/** As broad as it is narrow from station to station: its mean over any stretch is that of the whole. */
const alternating = (i: number) => 8 + (i % 2 === 0 ? 0.5 : -0.5);

describe('widths', () => {
  test('mean and scatter; what moves both edges outwards counts twice, noise of both comes off', () => {
    const plain = figures(alternating);
    expect(plain.mean).toBeCloseTo(8, 2);
    expect(plain.sd).toBeCloseTo(0.5, 2);
    expect(plain.lengthPx).toBeCloseTo(countedPx, 6);
    expect(figures(alternating, whole, [0.1]).mean - plain.mean).toBeCloseTo(0.2, 9);
    expect(figures(alternating, whole, [0, 0.04]).sd).toBeCloseTo(Math.sqrt(plain.sd ** 2 - 0.08), 9);
    expect(figures(alternating, whole, [0, 1]).sd).toBe(0);
  });

  test('quick scatter leaves doubt of the mean also where nothing is unseen', () => {
    const random = seededRandom(2);
    const noise = Float64Array.from({ length: 2000 }, () => normal(random));
    const quick = figures((i) => 8 + 0.5 * noise[i]);
    // Its own over the root of the stations would be 1. Of what is not seen alone, a twentieth, 0.22 would be left.
    expect((quick.repeatMean * Math.sqrt(countedPx)) / quick.sd).toBeGreaterThan(0.33);
    expect((quick.repeatMean * Math.sqrt(countedPx)) / quick.sd).toBeLessThan(1);
  });

  test.each([
    ['half of the lines', 0.5, 0.5 * 5 * 0.25],
    ['a fifth, less than dense letters have', 0.2, 0.2],
    ['nine tenths', 0.9, 0.9 * 5 * 0.81],
  ])(
    '%s unseen may have another mean, by a tenth of the scatter, and another scatter, by a twentieth',
    (_, unseen, times) => {
      const found = { ...whole, lengthPx: countedPx / (1 - unseen) };
      const { repeatMean, repeatSd, sd } = figures(alternating, found);
      expect(repeatMean / sd).toBeCloseTo(0.1 * times, 2);
      expect(repeatSd / sd).toBeCloseTo(0.05 * times, 2);
    },
  );

  test('of slow changes only what was not seen is chance, a twentieth at least', () => {
    // Each stretch of 2 mm has a width of its own, which the course follows.
    const slow = (i: number) => 8 + 0.5 * Math.sin(i / 60);
    const at = (unseen: number) => {
      const { repeatMean, sd } = figures(slow, { ...whole, lengthPx: countedPx / (1 - unseen) });
      return Math.sqrt(repeatMean ** 2 - (0.1 * unseen * sd) ** 2);
    };
    expect(at(0)).toBeGreaterThan(0.01);
    expect(at(0.02)).toBeCloseTo(at(0), 4);
    expect(at(0.2) / at(0)).toBeCloseTo(2, 1);
  });

  test('a direction counts for all its lines, but one of which hardly anything is seen for no more than six times that', () => {
    const [one, other] = page.strokes;
    /** The second stroke is broader, in another direction, and only each so many of its stations counts. */
    const meanOf = (every: number) => {
      const strokes = [one, other].map((s, k) => ({
        ...s,
        stroke: { ...s.stroke, direction: s.stroke.direction.map(() => 5 * k) },
        counted: s.counted.map((c, i) => (k === 0 || i % every === 0 ? c : 0)),
      }));
      const edges = (s: FoundEdges['strokes'][number]) => {
        const away = new Float64Array(s.counted.length).fill(s.stroke.direction[0] === 0 ? 3 : 5);
        const of = (side: -1 | 1) => ({ side, away, core: away, slope: away });
        return { left: of(-1), right: of(1) };
      };
      const seen = strokes.map((s) => howMany(s.counted));
      const all = strokes.map((s) => s.counted.length);
      return { mean: widthFigures({ ...whole, strokes }, edges, 0, PX_PER_MM, 1)!.mean, seen, all };
    };
    const some = meanOf(3);
    expect(some.mean).toBeCloseTo((6 * some.all[0] + 10 * some.all[1]) / (some.all[0] + some.all[1]), 4);
    const few = meanOf(20);
    expect(few.mean).toBeCloseTo((6 * few.all[0] + 10 * 6 * few.seen[1]) / (few.all[0] + 6 * few.seen[1]), 3);
  });
});

describe('raggedness from the spectrum', () => {
  const N = 4000;
  const LAGS = 60;
  /** @param halves Half the path's window in stations: all that the path leaves */
  const measured = (values: Float64Array, noise: number, blurPx: number, half = 400, lags = LAGS) => {
    const sums = lagSums([{ values, stretch: new Int32Array(N) }], 1, lags);
    const response = responseOf({ noise, blurPx, stepPx: 1, windows: new Map([[half, N]]) }, lags);
    return { px: raggednessPx(sums, response, null), ...unseenVariance(sums, response) };
  };
  const wave = (amplitude: number, lengthPx: number) =>
    Float64Array.from({ length: N }, (_, i) => amplitude * Math.sin((2 * Math.PI * i) / lengthPx));
  /** Noise whose neighbours share pixels, as its response says: 1 + 0.8 cos of the phase from station to station. */
  const pixelNoise = (sd: number, seed: number) => {
    const random = seededRandom(seed);
    const white = Float64Array.from({ length: N + 1 }, () => normal(random));
    // A moving sum with weights a and b has the spectrum a² + b² + 2ab cos.
    const [a, b] = [Math.sqrt(0.8), Math.sqrt(0.2)];
    return Float64Array.from({ length: N }, (_, i) => sd * (a * white[i] + b * white[i + 1]));
  };

  test.each([12, 20, 40])('a sine of %i stations has its amplitude over √2', (lengthPx) => {
    expect(measured(wave(0.3, lengthPx), 0, 0).px).toBeCloseTo(0.3 / Math.SQRT2, 2);
  });

  test.each([
    [12, 1.2],
    [20, 2],
  ])('… also where a blur of that sigma levelled it: %i stations, %f px', (lengthPx, blurPx) => {
    const left = Math.exp(-2 * (Math.PI * (blurPx / lengthPx)) ** 2);
    expect(left).toBeLessThan(0.83);
    const { px } = measured(wave(0.3 * left, lengthPx), 0, blurPx);
    expect(Math.abs(px - 0.3 / Math.SQRT2)).toBeLessThan(0.003);
  });

  test('pixel noise is none', () => {
    const noise = pixelNoise(0.1, 4);
    expect(measured(noise, 0.01, 0.5).px).toBeLessThan(0.03);
    // Where blur leaves long waves alone, noise has more of these than white noise would.
    expect(measured(noise, 0.01, 2).px).toBeLessThan(0.03);
    expect(measured(noise, 0, 2).px).toBeGreaterThan(0.06);
    expect(measured(noise, 0, 0).px).toBeGreaterThan(0.09);
    const sine = wave(0.2, 24);
    const both = noise.map((v, i) => v + sine[i]);
    expect(Math.abs(measured(both, 0.01, 0).px - 0.2 / Math.SQRT2)).toBeLessThan(0.004);
  });

  test('what a short path swallows of a wave is put back', () => {
    const lengthPx = 56;
    const values = wave(0.3, lengthPx);
    const half = 60;
    const weights = Array.from({ length: 2 * half + 1 }, (_, k) => (1 - (Math.abs(k - half) / (half + 1)) ** 3) ** 3);
    const followed = Float64Array.from(values, (_, i) => parabolaAt(values, weights, i));
    const departures = values.map((v, i) => v - followed[i]);
    const inner = departures.map((v, i) => (i < half || i >= N - half ? NaN : v));
    const swallowed = Math.sqrt(
      inner.filter((v) => !Number.isNaN(v)).reduce((sum, v) => sum + v * v, 0) / (N - 2 * half),
    );
    expect(swallowed).toBeLessThan(0.9 * (0.3 / Math.SQRT2));
    expect(Math.abs(measured(inner, 0, 0, half, 300).px - 0.3 / Math.SQRT2)).toBeLessThan(0.003);
  });

  /** Least squares of a parabola with these weights about i, as far as the values go. */
  function parabolaAt(values: Float64Array, weights: readonly number[], i: number): number {
    const half = (weights.length - 1) / 2;
    const sum = (of: (k: number) => number): number =>
      weights.reduce((all, w, k) => (i + k - half < 0 || i + k - half >= N ? all : all + w * of(k - half)), 0);
    const [s0, s2, s4] = [sum(() => 1), sum((k) => k * k), sum((k) => k ** 4)];
    const [t0, t2] = [sum((k) => values[i + k]), sum((k) => k * k * values[i + k])];
    return (s4 * t0 - s2 * t2) / (s0 * s4 - s2 * s2);
  }

  /** Edges as rough at all frequencies, of variance 0.04, as a blur of 0.8 px leaves them. */
  const white = (() => {
    const random = seededRandom(9);
    const rough = Float64Array.from({ length: N + 12 }, () => 0.2 * normal(random));
    const weights = Array.from({ length: 13 }, (_, k) => Math.exp(-0.5 * ((k - 6) / 0.8) ** 2));
    const whole = weights.reduce((sum, w) => sum + w, 0);
    return Float64Array.from({ length: N }, (_, i) =>
      weights.reduce((sum, w, k) => sum + (w / whole) * rough[i + k], 0),
    );
  })();

  test('is undone where a tenth of a wave’s power is left: up to 0.302 waves a pixel of that blur, of 0.5', () => {
    const highest = Math.sqrt(Math.log(10)) / (2 * Math.PI * 0.8);
    const { px, short } = measured(white, 0, 0.8);
    expect(Math.abs(px ** 2 / 0.04 / (highest / 0.5) - 1)).toBeLessThan(0.03);
    // Beyond it the power of its last quarter falls to nothing over as long again: half a triangle.
    expect(Math.abs(short / 0.04 / (0.5 * (highest / 0.5)) - 1)).toBeLessThan(0.05);
  });

  test('of what a path of ± 30 stations swallows, waves of which less than half is left go on as the next do', () => {
    const { long } = measured(white, 0, 0.8, 30);
    // Waves longer than 30 stations or so: 0.033 of 0.5.
    expect(long / 0.04).toBeGreaterThan(0.03);
    expect(long / 0.04).toBeLessThan(0.1);
  });
});

describe('feathering', () => {
  const hairy = (lengths: readonly number[]): FoundEdges => {
    const hairs = lengths.map((lengthPx): Hair => ({
      root: 0,
      tip: 0,
      lengthPx,
      from: [0, 0],
      to: [0, 0],
      isWithinWander: false,
    }));
    return { ...page, strokes: page.strokes.map((s, k) => (k === 0 ? { ...s, left: { ...s.left, hairs } } : s)) };
  };
  const told = (lengths: readonly number[]) => feathering(hairy(lengths), PX_PER_MM, 1)!;

  test('is the 95th percentile of the hairs’ lengths, less what the tips’ noise of 0.15 px adds to it', () => {
    const lengths = Array.from({ length: 41 }, (_, k) => 3 + 0.05 * k);
    const mean = 4;
    const scatter = Math.sqrt(lengths.reduce((sum, l) => sum + (l - mean) ** 2, 0) / 41);
    // 1.645 sigma of a normal distribution are its 95th percentile.
    const longer = 1.645 * (scatter - Math.sqrt(scatter ** 2 - 0.15 ** 2));
    expect(told(lengths).lengthPx).toBeCloseTo(4.9 - longer, 6);
    expect(told(lengths).hairs).toBe(41);
    // All of one length: whatever scatters less than the noise is noise.
    const alike = Array.from({ length: 40 }, (_, k) => 4 + (k % 2 === 0 ? 0.1 : -0.1));
    expect(told(alike).lengthPx).toBeCloseTo(4.1 - 0.1645, 6);
  });

  test('hairs below 2.25 sigma of the blur are short, set aside or not', () => {
    const limit = 2.25 * page.across.sigmaPx;
    const lengths = Array.from({ length: 20 }, (_, k) => limit + (k < 5 ? -0.1 : 0.1));
    expect(told(lengths)).toMatchObject({ short: 5, aside: 0, found: 20 });
    const aside = [limit - 0.2, limit + 0.2].map((lengthPx): Hair => ({
      root: 0,
      tip: 0,
      lengthPx,
      from: [0, 0],
      to: [0, 0],
      isWithinWander: true,
    }));
    expect(feathering({ ...hairy(lengths), aside }, PX_PER_MM, 1)).toMatchObject({ short: 6, aside: 2, found: 20 });
  });

  test('as few as chance leaves are none, and what is beyond 0.2 a cm of them is doubt', () => {
    const cm = told([]).edgePx / PX_PER_MM / 10;
    const chance = 0.2 * cm;
    const least = Math.max(3, chance + 3 * Math.sqrt(chance));
    const few = Math.ceil(least) - 1;
    const lengths = Array.from({ length: few }, () => 6);
    expect(told(lengths)).toMatchObject({ hairs: 0, found: few });
    expect(told(lengths).lengthPx).toBeCloseTo(told([]).lengthPx, 9);
    const share = (few - chance) / few;
    const doubt = Math.sqrt(told(lengths).repeat ** 2 - told([]).repeat ** 2);
    expect(doubt).toBeCloseTo(Math.sqrt(share) * 6, 6);
    expect(told([...lengths, 6]).hairs).toBe(few + 1);
  });
});

describe('an edge’s own wander', () => {
  const own = page.strokes.flatMap(({ stroke, left, right, counted }) =>
    [left, right].map(({ side, path }) => ({ stroke, side, path, counted })),
  );
  const sigmaPx = page.across.sigmaPx;
  const beyond = meanBeyond(own, PX_PER_MM)!;

  test('goes 3.3 standard deviations outwards, as its inward half tells (Rice 1945: a Gaussian course once in ten centimetres)', () => {
    const rough = own.map((edge) => {
      const base = new Float64Array(edge.counted.length).fill(4);
      // Every other station lies inwards, evenly from 0 to 0.27 px (golden section): a median of 0.135, which a normal one of 0.2 has. Outwards says nothing.
      const away = base.map((v, i) => (i % 2 === 0 ? v - 0.2698 * ((0.618034 * i) % 1) : v + 3));
      return { ...edge, side: { ...edge.side, away }, path: { ...edge.path, base } };
    });
    expect(wanderOf(rough) / 0.2).toBeGreaterThan(3.3 * 0.98);
    expect(wanderOf(rough) / 0.2).toBeLessThan(3.3 * 1.02);
  });

  const hairs = (count: number, isWithinWander = true) =>
    Array.from({ length: count }, (): Hair => ({
      root: 0,
      tip: 0,
      lengthPx: 2,
      from: [0, 0],
      to: [0, 0],
      isWithinWander,
    }));

  test('what it could explain counts from 1 a cm on, and never as few as four', () => {
    const more = (edges: typeof own, count: number) =>
      beyondWander(edges, hairs(count), beyond, sigmaPx, PX_PER_MM).isMore;
    const cm =
      own.reduce((sum, { stroke, counted }) => sum + howMany(counted) * stroke.line.stepPx, 0) / PX_PER_MM / 10;
    expect(cm).toBeGreaterThan(8);
    expect([more(own, Math.ceil(cm) - 1), more(own, Math.ceil(cm))]).toEqual([false, true]);
    expect([more(own.slice(0, 1), 4), more(own.slice(0, 1), 5)]).toEqual([false, true]);
    expect(beyondWander(own, hairs(40, false), beyond, sigmaPx, PX_PER_MM)).toEqual({ isMore: false, more: 0 });
  });

  test('… and only where it is more than twice as many as notches that go inwards alike, by two standard deviations', () => {
    // Where the core is called twice as dense the edge looks notched, at five places of each edge.
    const places = [30, 70, 110, 150, 190];
    const notched = own.map((edge) => ({
      ...edge,
      side: { ...edge.side, core: edge.side.core.map((v, i) => (places.includes(i) ? 2 * v : v)) },
    }));
    const seen = notched.reduce((sum, { stroke }) => sum + places.filter((i) => stroke.inner[i] === 1).length, 0);
    const least = Array.from({ length: 400 }, (_, n) => n).find((n) => n - 2 * seen > 2 * Math.sqrt(n + 4 * seen))!;
    const past = (count: number) => beyondWander(notched, hairs(count), beyond, sigmaPx, PX_PER_MM);
    const more = (count: number) => past(count).isMore;
    expect(seen).toBeGreaterThan(15);
    expect([more(least - 1), more(least)]).toEqual([false, true]);
    // What is more than the notches by more than a standard deviation of both is told besides.
    expect(past(seen + 20).more).toBeCloseTo(20 - Math.sqrt(2 * seen + 20), 9);
    expect(past(seen).more).toBe(0);
  });
});
