/** What edges' figures become as quantities, and the doubt of each (docs/measures.md, "Lines and edges"). */
import { describe, expect, test } from 'vitest';
import type { Feathering, Raggedness } from '../../analysis/measure/edge/excursions.ts';
import { normalSum } from '../../analysis/normalCurve.ts';
import { ACROSS, BARE, HAIRY, PX_PER_MM, READING, RING, ROUGH, SMOOTH, WIDTH, part, told } from './doubtedEdge.ts';

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
