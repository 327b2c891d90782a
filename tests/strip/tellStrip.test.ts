/** What a strip's readings become, and the doubt of each: readings made up, so that each part is known by hand (docs/measures.md, "Chromatography strips"). */
import { describe, expect, test } from 'vitest';
import { colourUncertainty } from '../../analysis/calibrate/uncertainty.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { DENSITIES_ADD } from '../../analysis/measure/strip/addition.ts';
import type { BandReading, StripReadings } from '../../analysis/measure/strip/bandReadings.ts';
import { tellStrip } from '../../analysis/measure/strip/tellStrip.ts';
import { uncertaintyOf } from '../../analysis/measure/strip/strip.ts';
import { stripView } from '../../analysis/locate/lane.ts';
import { nominal } from './judgeStrip.ts';

type Telling = Parameters<typeof tellStrip>[0];
type Triple = readonly [number, number, number];

const PAPER: Triple = [0.84, 0.83, 0.79];
const BINS = 200;
const BIN_MM = 0.4;

const none = new Float64Array(0);
const PROFILE: Telling['profile'] = {
  bins: BINS,
  binMm: BIN_MM,
  firstMm: 0,
  lane: none,
  side: new Float64Array(3 * BINS),
  edge: none,
  margins: [none, none],
  laneMm2: 1,
  sideMm2: 1,
  clippedShare: new Float64Array(BINS),
};

interface Made {
  readonly apexMm: number;
  readonly heights?: Triple;
  readonly others?: Triple;
  readonly widthMm?: number;
  readonly baseMm?: number;
  readonly tail?: number;
  readonly amount?: number;
  readonly contested?: number;
}

function reading({ apexMm, heights = [0.3, 0.2, 0.1], others = [0, 0, 0], ...more }: Made): BandReading {
  const { widthMm = 4, baseMm = 7, tail = 1.5, amount = 1, contested = 0 } = more;
  return {
    fitted: { components: [], apexMm, heights },
    apexMm,
    centroidMm: apexMm - 0.5,
    heights,
    amount,
    contested,
    others,
    widthMm,
    halfMm: [0.6 * widthMm, 0.4 * widthMm],
    tail,
    baseMm,
  };
}

function readings(bands: readonly Made[], originAmount = 0, originContested = 0): StripReadings {
  const all = bands.map(reading);
  return {
    bands: all,
    originAmount,
    originContested,
    totalAmount: all.reduce((sum, b) => sum + b.amount, originAmount),
  };
}

function told(own: StripReadings, more: Partial<Telling> = {}) {
  const raster = {
    data: new Float32Array(3 * 20 * 800),
    widthPx: 20,
    heightPx: 800,
    dpi: 254,
    originPx: [0, 0] as const,
    clipped: new Uint8Array(20 * 800),
  };
  return tellStrip({
    own,
    again: [],
    data: { bins: BINS, firstMm: 0, binMm: BIN_MM, density: none, whiten: none, chance: none },
    addition: DENSITIES_ADD,
    ends: { originMm: 10, frontMm: 60, uOriginMm: 0, uFrontMm: 0, found: false },
    paperAt: () => PAPER,
    calibration: nominal,
    toBox: (mm) => 80 - mm,
    profile: PROFILE,
    places: none,
    view: stripView(raster, 'y', true),
    ...more,
  });
}

/** Ten draws of one number whose middle 68 % is about two of `sd` wide: the quantiles of evenly spread draws. */
const draws = (sd: number): number[] => Array.from({ length: 11 }, (_, k) => ((k - 5) / 5) * (sd / 0.682));

describe('places', () => {
  test('R_F counts from origin to front; the box’s place and the span are told from its top', () => {
    const { bands } = told(readings([{ apexMm: 30 }]));
    expect(bands[0].rF?.value).toBeCloseTo(0.4, 9);
    expect(bands[0].centroid?.value).toBeCloseTo(0.39, 9);
    expect(bands[0].apexMm).toBeCloseTo(50, 9);
    // 2.4 mm before the crown on the run, which goes up, 1.6 mm beyond.
    expect(bands[0].spanMm).toEqual([expect.closeTo(48.4, 9), expect.closeTo(52.4, 9)]);
  });

  test('either end that is off counts by how near it is: (1 − R_F) of the origin’s, R_F of the front’s', () => {
    const ends = { originMm: 10, frontMm: 60, found: true };
    const of = (uOriginMm: number, uFrontMm: number) => {
      const { bands, frontDistance } = told(readings([{ apexMm: 50 }]), { ends: { ...ends, uOriginMm, uFrontMm } });
      return [bands[0].rF?.parts.placement, frontDistance?.parts.placement];
    };
    expect(of(0.5, 0)).toEqual([expect.closeTo((0.2 * 0.5) / 50, 9), expect.closeTo(0.5, 9)]);
    expect(of(0, 0.5)).toEqual([expect.closeTo((0.8 * 0.5) / 50, 9), expect.closeTo(0.5, 9)]);
    expect(of(0.3, 0.4)[1]).toBeCloseTo(0.5, 9);
  });

  test('draws anew scatter by half of their middle 68 %', () => {
    const own = readings([{ apexMm: 30 }]);
    const again = draws(0.5).map((off) => readings([{ apexMm: 30 + off }]));
    expect(told(own, { again }).bands[0].rF?.parts.repeatability).toBeCloseTo(0.5 / 50, 6);
  });

  test('without a front there is no place, and the rest is there', () => {
    const ends = { originMm: 10, frontMm: null, uOriginMm: 0, uFrontMm: 0, found: true };
    const { bands, frontDistance, originRetained } = told(readings([{ apexMm: 30 }], 1), { ends });
    expect([bands[0].rF, bands[0].centroid, frontDistance]).toEqual([null, null, null]);
    expect(originRetained?.value).toBeCloseTo(50, 9);
    const lost = { ...ends, originMm: null };
    expect(told(readings([{ apexMm: 30 }], 1), { ends: lost }).originRetained).toBeNull();
  });
});

// What the fit's shapes leave open (study of strips).
describe('shapes', () => {
  test('a hundredth of a width and of a resolution, 7 % of a tail', () => {
    const [first] = told(readings([{ apexMm: 30 }, { apexMm: 44 }])).bands;
    expect(first.resolution?.value).toBeCloseTo(2, 9);
    expect(uncertaintyOf(first.resolution!)).toBeCloseTo(0.02, 9);
    expect(uncertaintyOf(first.widthMm)).toBeCloseTo(0.04, 9);
    expect(uncertaintyOf(first.tail)).toBeCloseTo(0.105, 9);
  });

  test('heights: 2 % of their own, 8 % of what else lies there', () => {
    const [band] = told(readings([{ apexMm: 30, heights: [0.4, 0.2, 0], others: [0, 0.1, 0.3] }])).bands;
    expect(band.uHeights).toEqual([
      expect.closeTo(0.008, 9),
      expect.closeTo(Math.hypot(0.004, 0.008), 9),
      expect.closeTo(0.024, 9),
    ]);
  });

  test('a colour moves as its heights do, and is in doubt by the map', () => {
    const of = (heights: Triple, others: Triple = [0, 0, 0]) =>
      told(readings([{ apexMm: 30, heights, others }])).bands[0];
    const plain = of([0.4, 0.2, 0.1]);
    const more = of([0.408, 0.204, 0.102]);
    for (const k of [0, 1, 2] as const) {
      expect(plain.colourParts.repeatability[k]).toBeCloseTo(Math.abs(more.colour[k] - plain.colour[k]), 6);
    }
    expect(plain.colourParts.calibration).toEqual([...colourUncertainty(labD50(...plain.colour), nominal.calibration)]);
    const beside = of([0.4, 0.2, 0.1], [0.5, 0, 0]);
    const taken = of([0.44, 0.2, 0.1]);
    expect(deltaE2000(labD50(...taken.colour), labD50(...plain.colour))).toBeGreaterThan(0.5);
    expect(beside.colourParts.repeatability[1]).toBeCloseTo(
      Math.hypot(plain.colourParts.repeatability[1], taken.colour[1] - plain.colour[1]),
      6,
    );
  });
});

describe('shares', () => {
  const shapeOf = (own: StripReadings, more: Partial<Telling> = {}) => {
    const { bands, originRetained } = told(own, more);
    return [...bands.map((b) => b.sharePercent), originRetained!].map((t) => t.parts.repeatability);
  };

  test('are of all that is seen, the origin with it', () => {
    const { bands, originRetained } = told(
      readings(
        [
          { apexMm: 30, amount: 2 },
          { apexMm: 44, amount: 1 },
        ],
        1,
      ),
    );
    expect(bands.map((b) => b.sharePercent.value)).toEqual([50, 25]);
    expect(originRetained?.value).toBe(25);
  });

  test('an amount is off by 1.2 % and by 0.0008 over twice the width; a share by its own and by all others’ in the whole', () => {
    // Origin: a spot of 3 mm.
    const [own, other, origin] = [
      Math.hypot(0.012 * 2, 2 * 0.0008 * 4),
      Math.hypot(0.012, 2 * 0.0008 * 4),
      Math.hypot(0.012, 2 * 0.0008 * 3),
    ].map((u) => u / 4);
    const u = shapeOf(
      readings(
        [
          { apexMm: 30, amount: 2 },
          { apexMm: 44, amount: 1 },
        ],
        1,
      ),
    );
    expect(u[0]).toBeCloseTo(100 * Math.hypot(own * 0.5, other * 0.5, origin * 0.5), 6);
    expect(u[1]).toBeCloseTo(100 * Math.hypot(own * 0.25, other * 0.75, origin * 0.25), 6);
    expect(u[2]).toBeCloseTo(100 * Math.hypot(own * 0.25, other * 0.25, origin * 0.75), 6);
  });

  test('three tenths of what is contested; without bare paper beside the lane 0.003 for 0.0008', () => {
    const bands = [
      { apexMm: 30, amount: 1, contested: 0.4 },
      { apexMm: 34, amount: 1, contested: 0.4 },
    ];
    const one = Math.hypot(0.012, 0.12, 2 * 0.0008 * 4) / 2;
    const spot = (2 * 0.0008 * 3) / 2;
    expect(shapeOf(readings(bands))[0]).toBeCloseTo(100 * Math.hypot(0.5 * one, 0.5 * one, 0.5 * spot), 6);
    const profile = { ...PROFILE, side: null };
    const unseen = Math.hypot(0.012, 0.12, 2 * 0.003 * 4) / 2;
    const unseenSpot = (2 * 0.003 * 3) / 2;
    expect(shapeOf(readings(bands), { profile })[0]).toBeCloseTo(
      100 * Math.hypot(0.5 * unseen, 0.5 * unseen, 0.5 * unseenSpot),
      6,
    );
  });

  test('where no band is seen, what may have run unseen is as pale as paper is unsure, all along the run', () => {
    const amount = (2 * 0.0008 * 50) / Math.sqrt(12);
    expect(shapeOf(readings([], 1))[0]).toBeCloseTo(100 * amount, 6);
  });

  test('one dye alone is all there is, whatever it is', () => {
    const { bands } = told(readings([{ apexMm: 30 }]));
    expect(bands[0].sharePercent.value).toBe(100);
    expect(bands[0].sharePercent.parts.calibration).toBeCloseTo(0, 9);
  });
});

describe('flags', () => {
  const flagsOf = (bands: readonly Made[], more: Partial<Telling> = {}) => told(readings(bands), more).bands[0].flags;

  // 1.6: common practice, no source.
  test('a density that the scanner’s dark end decides', () => {
    expect(flagsOf([{ apexMm: 30, heights: [1.55, 0.2, 0.1] }])).not.toContain('saturated');
    expect(flagsOf([{ apexMm: 30, heights: [0.1, 0.2, 1.65] }])).toContain('saturated');
  });

  test('neighbours on either hand with less than R_s 1', () => {
    expect(flagsOf([{ apexMm: 30 }, { apexMm: 36.9 }])).toContain('overlapped');
    expect(flagsOf([{ apexMm: 30 }, { apexMm: 37.1 }])).not.toContain('overlapped');
    const { bands } = told(readings([{ apexMm: 30 }, { apexMm: 36.9 }, { apexMm: 50 }]));
    expect(bands.map(({ flags }) => flags.includes('overlapped'))).toEqual([true, true, false]);
  });

  test('pixels at an end of the scale within its width, above 0.5 %', () => {
    const clipped = (mm: number, share: number) => {
      const clippedShare = new Float64Array(BINS);
      clippedShare[Math.round(mm / BIN_MM)] = share;
      return flagsOf([{ apexMm: 30 }], { profile: { ...PROFILE, clippedShare } });
    };
    expect(clipped(33.6, 0.006)).toContain('clipped');
    expect(clipped(33.6, 0.004)).not.toContain('clipped');
    expect(clipped(34.4, 0.006)).not.toContain('clipped');
  });

  test('a width under six pixels', () => {
    // 254 dpi: 0.1 mm.
    expect(flagsOf([{ apexMm: 30, widthMm: 0.59 }])).toContain('below-resolution');
    expect(flagsOf([{ apexMm: 30, widthMm: 0.61 }])).not.toContain('below-resolution');
  });
});
