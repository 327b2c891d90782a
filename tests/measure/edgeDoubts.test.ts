/** What edges' figures become as quantities, and the doubt of each: figures made up, so that each part is known by hand (docs/measures.md, "Lines and edges"). */
import { describe, expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { labToXyz, labD50, xyzToLab } from '../../analysis/colour/lab.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import type { Across, RingFit, RingReading } from '../../analysis/measure/edge/across.ts';
import { type EdgeFigures, edgeQuantities, ringLab } from '../../analysis/measure/edge/edgeQuantities.ts';
import type { EdgeSetting } from '../../analysis/measure/edge/edgeQuantity.ts';
import type { Feathering, Raggedness } from '../../analysis/measure/edge/excursions.ts';
import type { WidthFigures } from '../../analysis/measure/edge/widths.ts';
import { normalSum } from '../../analysis/normalCurve.ts';
import type { Quantity, QuantityName } from '../../analysis/quantity.ts';
import { triple } from '../../analysis/triple.ts';

/** 10 px a mm. */
const PX_PER_MM = 10;
const calibration = compileCalibration(nominalCalibration);
const paper = [0.86, 0.85, 0.82] as const;
const setting: EdgeSetting = {
  input: {
    id: 'r',
    signal: {
      data: new Float32Array(0),
      widthPx: 0,
      heightPx: 0,
      dpi: 254,
      originPx: [0, 0],
      clipped: new Uint8Array(0),
    },
    calibration,
    paper: null,
    bare: barePaperOf(paper, calibration),
    scannerBlurMm: 0.06,
    scanFlags: [],
  },
  subject: { regions: ['r'] },
  nibWidthMm: 0.5,
  pxPerMm: PX_PER_MM,
  scannerSigmaPx: 0.6,
  flags: [],
};

/** A line of 0.8 mm, which repeats exactly. */
const WIDTH: WidthFigures = { mean: 8, sd: 0.5, repeatMean: 0, repeatSd: 0, lengthPx: 2000 };
const ROUGH: Raggedness = { px: 0.3, repeat: 0, scannedPx: 0.2, edgeNoise: 0, unseen: { long: 0, short: 0 } };
const SMOOTH: Raggedness = { px: 0, repeat: 0, scannedPx: 0, edgeNoise: 0, unseen: { long: 0, short: 0 } };
/** Ten hairs on ten centimetres of edge. */
const ALONE = { times: 1, repeat: 0, taken: 0 };
const HAIRY: Feathering = {
  lengthPx: 2,
  repeat: 0,
  hairs: 10,
  found: 10,
  aside: 0,
  asideBeyond: 0,
  short: 0,
  beside: ALONE,
  edgePx: 1000,
};
const BARE: Feathering = { ...HAIRY, lengthPx: 0, hairs: 0, found: 0 };
const none = new Float64Array(0);
const ACROSS: Across = {
  profile: {
    atPx: none,
    stepPx: 0.5,
    channels: [none, none, none],
    contrast: none,
    counts: none,
    groups: [],
    all: { sums: [none, none, none, none], counts: none },
    lineWidthPx: 8,
  },
  data: { at: none, values: [], fitted: [], place: none, lineWidthPx: 8 },
  fit: {
    edgePx: 0,
    sigmaPx: 1,
    ringPx: null,
    ringSigmaPx: 1,
    paper: [1, 1, 1, 0],
    ring: null,
    ink: [0, 0, 0, 1],
    misfit: 0,
  },
  sigmaPx: 1,
  uSigmaPx: 0,
  ground: 0,
  shiftPx: 0,
  ring: null,
};
const READING: RingReading = { widthPx: 3, ratio: [0.9, 0.8, 0.85] };
const RING: RingFit = {
  ...READING,
  parts: [READING, READING, READING],
  oneBlur: READING,
  crowded: READING,
  isApart: true,
};

function told(name: QuantityName, figures: Partial<EdgeFigures> = {}, of: Partial<EdgeSetting> = {}): Quantity {
  const all: EdgeFigures = {
    width: WIDTH,
    at60: null,
    raggedness: SMOOTH,
    feathering: BARE,
    across: ACROSS,
    ...figures,
  };
  const found = edgeQuantities(all, { ...setting, ...of }).find(({ quantity }) => quantity === name);
  if (!found) throw new Error(`${name} is not among the quantities`);
  return found;
}

type Part = 'repeatability' | 'calibration' | 'placement';
const part = (quantity: Quantity, name: Part): number => Number(quantity.uParts?.[name]);

describe('lineWidth', () => {
  test('calibration: a scale off by 0.1 %, and both edges where the level is off by 0.5 % of a blurred step', () => {
    // Where a Gaussian’s step has risen by half a hundredth more than half.
    let shift = 0;
    while (normalSum(shift) < 0.505) shift += 1e-6;
    expect(part(told('lineWidth'), 'calibration')).toBeCloseTo(Math.hypot(0.0008, (2 * shift) / PX_PER_MM), 6);
  });

  test.each([
    ['a line with a core: 0.004 px an edge', 8, 1, 0.004],
    ['below seven sigma: 0.01 px', 8, 1.2, 0.01],
    ['below five: 0.025 px more for each sigma', 8, 2, Math.hypot(0.01, 0.025)],
  ])('placement of %s', (_, mean, sigmaPx, edgePx) => {
    const width = told('lineWidth', { width: { ...WIDTH, mean }, across: { ...ACROSS, sigmaPx } });
    expect(part(width, 'placement')).toBeCloseTo((2 * edgePx) / PX_PER_MM, 9);
  });

  test('placement beside a ring: 0.01 px an edge, and three tenths of the ring’s own scatter', () => {
    const parts = [2.9, 3, 3.1].map((widthPx) => ({ ...READING, widthPx }));
    // Of three parts left out in turn: √(2/3 · Σ(v − mean)²).
    const scatter = Math.sqrt((2 / 3) * 0.02);
    const width = told('lineWidth', { across: { ...ACROSS, ring: { ...RING, parts } } });
    expect(part(width, 'placement')).toBeCloseTo((2 * Math.hypot(0.01, 0.3 * scatter)) / PX_PER_MM, 9);
    expect(width.flags).toContain('beside-halo');
  });

  test('placement by hairs: half a micrometre for each a cm', () => {
    const width = told('lineWidth', { feathering: HAIRY });
    expect(part(width, 'placement')).toBeCloseTo(Math.hypot(0.0008, 0.0005), 9);
  });

  test('repeatability is its own, of the line at 60 % that one’s', () => {
    const width = { ...WIDTH, repeatMean: 0.05 };
    const at60 = { ...WIDTH, mean: 7.5, repeatMean: 0.08 };
    expect(part(told('lineWidth', { width }), 'repeatability')).toBeCloseTo(0.005, 9);
    const lower = told('lineWidth.at60', { width, at60 });
    expect(lower.value).toBeCloseTo(0.75, 9);
    expect(part(lower, 'repeatability')).toBeCloseTo(0.008, 9);
    for (const name of ['calibration', 'placement'] as const) {
      expect(part(lower, name)).toBeCloseTo(part(told('lineWidth', { width }), name), 9);
    }
  });

  test('spread is in shares of the nib’s width, as each of its doubts is', () => {
    const figures = { width: { ...WIDTH, repeatMean: 0.05 }, feathering: HAIRY };
    const [width, spread] = [told('lineWidth', figures), told('spread', figures)];
    expect(spread.value).toBeCloseTo(60, 9);
    expect(spread.verdict).toBe('strong');
    for (const name of ['repeatability', 'calibration', 'placement'] as const) {
      expect(part(spread, name)).toBeCloseTo((100 / 0.5) * part(width, name), 9);
    }
  });

  test.each([
    ['below-resolution', { mean: 2.9 }, { mean: 3.1 }],
    ['blur-corrected', { mean: 6.9 }, { mean: 7.1 }],
    ['few-pixels', { lengthPx: 59 }, { lengthPx: 61 }],
  ] as const)('%s is said of what is less, not of what is more', (flag, less, more) => {
    expect(told('lineWidth', { width: { ...WIDTH, ...less } }).flags).toContain(flag);
    expect(told('lineWidth', { width: { ...WIDTH, ...more } }).flags).not.toContain(flag);
  });
});

describe('lineWidth.sd', () => {
  test('the waves of both edges that the blur levelled are put back, half of that in doubt', () => {
    const sd = told('lineWidth.sd', { raggedness: ROUGH });
    const whole = Math.sqrt(0.25 + 2 * (0.09 - 0.04));
    expect(sd.value).toBeCloseTo(whole / PX_PER_MM, 9);
    const near = told('lineWidth.sd', { width: { ...WIDTH, sd: whole } });
    const more = Math.sqrt(part(sd, 'placement') ** 2 - part(near, 'placement') ** 2);
    expect(more).toBeCloseTo((0.5 * (whole - 0.5)) / PX_PER_MM, 6);
  });

  test('a scatter of nothing is in doubt by 0.045 px over √2, a large one hardly', () => {
    const of = (sd: number) => part(told('lineWidth.sd', { width: { ...WIDTH, sd } }), 'placement') * PX_PER_MM;
    expect(of(0)).toBeCloseTo(0.045 / Math.SQRT2, 9);
    expect(of(1)).toBeCloseTo(0.045 ** 2 / 2, 5);
  });
});

describe('raggedness', () => {
  const placementOf = (raggedness: Raggedness, feathering = BARE) =>
    part(told('raggedness', { raggedness, feathering }), 'placement') * PX_PER_MM;
  /** Of a root, to first order: half of its square’s over it. */
  const floor = 0.0022 + (0.0015 * PX_PER_MM) ** 2;

  test('near nothing the root makes all of its variance’s doubt large', () => {
    expect(placementOf(SMOOTH)).toBeCloseTo(Math.sqrt(floor / 2), 9);
  });

  test.each([
    [
      'what goes on below the waves seen, 1.8 times',
      { ...ROUGH, scannedPx: 0.3, unseen: { long: 0.004, short: 0 } },
      0.0072,
    ],
    ['what would go on above, 1.2 times', { ...ROUGH, scannedPx: 0.3, unseen: { long: 0, short: 0.004 } }, 0.0048],
    ['what the blur’s undoing added, a twentieth', { ...ROUGH, scannedPx: 0 }, 0.0045],
  ])('%s', (_, raggedness, doubt) => {
    const all = Math.hypot(doubt, floor);
    const square = 0.09;
    expect(placementOf(raggedness)).toBeCloseTo(Math.sqrt((Math.hypot(square, all) - square) / 2), 9);
  });

  test('half a micrometre for each hair a cm, and its own repeatability', () => {
    const without = placementOf(ROUGH);
    expect(Math.sqrt(placementOf(ROUGH, HAIRY) ** 2 - without ** 2)).toBeCloseTo(0.005, 9);
    expect(part(told('raggedness', { raggedness: { ...ROUGH, repeat: 0.04 } }), 'repeatability')).toBeCloseTo(0.004, 9);
  });
});

describe('feathering', () => {
  test('a tip lies within 0.12 px and 0.01 mm', () => {
    const length = told('feathering', { feathering: HAIRY });
    expect(length.value).toBeCloseTo(0.2, 9);
    expect(part(length, 'placement')).toBeCloseTo(Math.hypot(0.012, 0.01), 9);
  });

  /** Of ten hairs on ten cm with pixels of 0.1 mm: a tenth, and 1.2 a mm of the pixel. */
  const missed = Math.hypot(1, 1.2);

  test('hairs a cm: √(0.3 n + 1) of the count, a tenth, what pixels are too coarse for, and those set aside', () => {
    const hairs = told('feathering.hairs', { feathering: { ...HAIRY, aside: 4 } });
    expect(hairs.value).toBeCloseTo(1, 9);
    expect(part(hairs, 'repeatability')).toBeCloseTo(0.2, 9);
    expect(part(hairs, 'placement')).toBeCloseTo(Math.hypot(missed, 4) / 10, 9);
    expect(hairs.flags).toEqual([]);
  });

  test('hairs seen as one count as often as they are, by as much as few neighbours tell, two fifths of what they add in doubt', () => {
    const beside = { times: 1.5, repeat: 0.1, taken: 0.1 };
    const hairs = told('feathering.hairs', { feathering: { ...HAIRY, beside } });
    expect(hairs.value).toBeCloseTo(1.5, 9);
    expect(part(hairs, 'repeatability')).toBeCloseTo(Math.hypot(0.2 * 1.5, 0.1 * 1.5), 9);
    expect(part(hairs, 'placement')).toBeCloseTo(Math.hypot(missed * 1.5, 0.4 * 5) / 10, 9);
  });

  test.each<[string, Partial<Feathering>, boolean]>([
    ['they take a fifth of the edge', { beside: { times: 1.2, repeat: 0, taken: 0.21 } }, true],
    ['they take less', { beside: { times: 1.2, repeat: 0, taken: 0.19 } }, false],
    ['none follows another by chance', { beside: { times: 1.05, repeat: 0, taken: 0.3 } }, false],
    ['most are short', { short: 6 }, true],
    ['half are short', { short: 5 }, false],
    ['none count, and those set aside go outwards only', { hairs: 0, found: 1, aside: 9, asideBeyond: 7 }, true],
    ['none count, and what goes outwards only is chance', { hairs: 0, found: 1, aside: 9, asideBeyond: 6 }, false],
    ['none count, and those set aside are wander', { hairs: 0, found: 1, aside: 9 }, false],
  ])('how many they are is a lower bound where more hide than can be told: %s', (_, of, isLeast) => {
    const sharp = { ...ACROSS, sigmaPx: 0.6 };
    const { flags } = told('feathering.hairs', { across: sharp, feathering: { ...HAIRY, ...of } });
    expect(flags).toEqual(isLeast ? ['lower-bound'] : []);
  });

  test('a soft edge hides hairs: 2u reaches three times what its own softness has beyond 0.03 mm', () => {
    const of = (softMm: number) => {
      const across = { ...ACROSS, sigmaPx: Math.hypot(0.6, softMm * PX_PER_MM) };
      return {
        length: part(told('feathering', { across, feathering: BARE }), 'placement'),
        flags: told('feathering.hairs', { across, feathering: BARE }).flags,
        ofHairs: part(told('feathering', { across, feathering: HAIRY }), 'placement'),
      };
    };
    const tip = Math.hypot(0.012, 0.01);
    expect(of(0.03).length).toBeCloseTo(tip, 9);
    expect(of(0.06).length).toBeCloseTo(Math.hypot(tip, 0.045), 9);
    expect(of(0.06)).toMatchObject({ flags: ['lower-bound'], ofHairs: expect.closeTo(tip, 9) });
    expect(of(0.045).flags).toEqual([]);
  });

  test('beside each short hair 0.3 are hidden, beside each where all are short 2', () => {
    const hidden = (short: number) =>
      Math.sqrt(
        (10 * part(told('feathering.hairs', { feathering: { ...HAIRY, short } }), 'placement')) ** 2 - missed ** 2,
      );
    expect(hidden(10)).toBeCloseTo(20, 6);
    expect(hidden(1)).toBeCloseTo(0.3 + 0.17, 6);
  });

  test('where none count, as many may be there as what was seen may stand for (Garwood 1936: of none 3.69, of four 10.24)', () => {
    // On 10 cm fewer than 0.2 · 10 + 3 √2 = 6.24 are chance.
    const unseen = (found: number, cm = 10) => {
      const feathering = { ...BARE, found, edgePx: 100 * cm };
      const q = told('feathering.hairs', { feathering });
      return part(q, 'repeatability') * cm;
    };
    expect(unseen(0)).toBeCloseTo(Math.hypot(6.243 / 2, 1), 2);
    expect(unseen(4)).toBeCloseTo(Math.hypot(10.24 / 2, 1), 1);
    expect(unseen(0, 1)).toBeCloseTo(Math.hypot(3.69 / 2, 1), 1);
  });
});

describe('edgeBlur', () => {
  const SIGMAS = 2.563103;
  test('scanner and levelled waves are taken off in quadrature', () => {
    const square = 1 - 0.6 ** 2;
    expect(told('edgeBlur').value).toBeCloseTo((SIGMAS * Math.sqrt(square)) / PX_PER_MM, 6);
    const rough = told('edgeBlur', { raggedness: ROUGH });
    expect(rough.value).toBeCloseTo((SIGMAS * Math.sqrt(square - 0.05)) / PX_PER_MM, 6);
  });

  /** Of the root of a square in px², in mm. */
  const ofSquare = (square: number, doubt: number) =>
    (SIGMAS / PX_PER_MM) * Math.sqrt((Math.hypot(square, doubt) - square) / 2);

  test('u: the fit’s own scatter, 2.5 % of the scanner’s sigma, 0.015 px, beside a ring 0.045, half of the waves’ part', () => {
    const square = 0.64;
    const blur = told('edgeBlur', { across: { ...ACROSS, uSigmaPx: 0.02 } });
    expect(part(blur, 'repeatability')).toBeCloseTo(ofSquare(square, 0.04), 6);
    expect(part(blur, 'calibration')).toBeCloseTo(ofSquare(square, 0.05 * 0.36), 6);
    expect(part(blur, 'placement')).toBeCloseTo(ofSquare(square, 0.03), 6);
    const beside = told('edgeBlur', { across: { ...ACROSS, ring: RING } });
    expect(part(beside, 'placement')).toBeCloseTo(ofSquare(square, 0.09), 6);
    const rough = told('edgeBlur', { raggedness: ROUGH });
    expect(part(rough, 'placement')).toBeCloseTo(ofSquare(0.59, Math.hypot(0.03, 0.025)), 6);
    const hairy = told('edgeBlur', { feathering: HAIRY });
    expect(part(hairy, 'placement')).toBeCloseTo(ofSquare(square, 2 * (0.015 + 0.005)), 6);
  });

  test('an edge sharper than the scanner has no blur of its own, and u says how little is known of it', () => {
    const blur = told('edgeBlur', { across: { ...ACROSS, sigmaPx: 0.59 } });
    expect(blur.value).toBe(0);
    expect(part(blur, 'calibration')).toBeCloseTo(ofSquare(0, 0.05 * 0.36), 6);
  });
});

describe('halo', () => {
  const of = (ring: Partial<RingFit>, sigmaPx = 1) => ({ across: { ...ACROSS, sigmaPx, ring: { ...RING, ...ring } } });

  test('without one, 0.4 px of it may hide', () => {
    const halo = told('halo');
    expect([halo.value, halo.verdict]).toEqual([0, 'none']);
    expect(halo.u).toBeCloseTo(0.04, 9);
  });

  test('hairs leave a ring’s width in doubt by 1 µm for each a cm', () => {
    const ring = { ...of({}), feathering: HAIRY };
    expect(part(told('halo', ring), 'placement')).toBeCloseTo(Math.hypot(0.0014, 0.001), 9);
  });

  test('u: parts left out in turn, 0.014 px, what neighbours and one blur make of it', () => {
    const halo = told('halo', of({ parts: [2.9, 3, 3.1].map((widthPx) => ({ ...READING, widthPx })) }));
    expect(halo.value).toBeCloseTo(0.3, 9);
    expect(halo.verdict).toBe('present');
    expect(part(halo, 'repeatability')).toBeCloseTo(Math.sqrt((2 / 3) * 0.02) / PX_PER_MM, 9);
    const placement = (ring: Partial<RingFit>, sigmaPx = 1) =>
      part(told('halo', of(ring, sigmaPx)), 'placement') * PX_PER_MM;
    expect(placement({})).toBeCloseTo(0.014, 9);
    expect(placement({ oneBlur: { ...READING, widthPx: 3.2 } })).toBeCloseTo(Math.hypot(0.014, 0.2), 9);
    expect(placement({ crowded: { ...READING, widthPx: 3.4 } })).toBeCloseTo(Math.hypot(0.014, 0.2), 9);
    expect(placement({ isApart: false })).toBeCloseTo(Math.hypot(0.014, 0.15), 9);
    // Eight px are four of these sigma: three below seven.
    expect(placement({}, 2)).toBeCloseTo(Math.hypot(0.014, 0.036), 9);
  });

  test('its colour: 5 % of the step for each sigma over the width, 0.6 % for each sigma below seven, neighbours and one blur', () => {
    const dE = told('halo.dE', of({}));
    const step = Number(dE.value);
    const byBlur = Number(told('halo.dE', of({ ratio: [0.88, 0.8, 0.85] })).value) - step;
    expect(Math.abs(byBlur)).toBeGreaterThan(0.3);
    const placement = (ring: Partial<RingFit>, sigmaPx = 1) => part(told('halo.dE', of(ring, sigmaPx)), 'placement');
    const other: RingReading = { widthPx: 3, ratio: [0.88, 0.8, 0.85] };
    const own = (0.05 / 3) * step;
    expect(placement({})).toBeCloseTo(Math.hypot(0.03, own), 9);
    expect(placement({ oneBlur: other })).toBeCloseTo(Math.hypot(0.03, own, byBlur), 9);
    expect(placement({ crowded: other })).toBeCloseTo(Math.hypot(0.03, own, 0.5 * byBlur), 9);
    expect(placement({}, 2)).toBeCloseTo(Math.hypot(0.03, (0.1 / 3 + 0.018) * step), 9);
  });

  test('its hue is that of what it adds to the paper; of a nearly grey one nothing is told', () => {
    const paperLab = barePaperOf(paper, calibration).lab;
    /** Ratio that gives the paper’s Lab moved by so much. */
    const ratioOf = (dL: number, da: number, db: number) => {
      const target = labD50(paperLab[0] + dL, paperLab[1] + da, paperLab[2] + db);
      let ratio: RingReading['ratio'] = [1, 1, 1];
      for (let round = 0; round < 60; round++) {
        const now = labToXyz(ringLab(ratio, setting.input));
        const want = labToXyz(target);
        ratio = triple((c) => ratio[c] * (want[c] / now[c]) ** 0.5);
      }
      expect(xyzToLab(labToXyz(ringLab(ratio, setting.input)))[1]).toBeCloseTo(target[1], 2);
      return ratio;
    };
    const ring = (ratio: RingReading['ratio']) =>
      of({
        ratio,
        parts: [0, 1, 2].map(() => ({ widthPx: 3, ratio })),
        oneBlur: { widthPx: 3, ratio },
        crowded: { widthPx: 3, ratio },
      });
    const hue = told('halo.hue', ring(ratioOf(-10, 0, 40)));
    expect(Number(hue.value)).toBeCloseTo(90, 0);
    const grey = told('halo.hue', ring(ratioOf(-10, 0.1, 0.3)));
    expect(grey).toMatchObject({ value: null, u: null });
    expect(grey.flags).toContain('cannot-tell');
  });
});
