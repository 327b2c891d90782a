/** Two regions of one ink held against each other, and one region's colour: values and doubts against CIEDE2000 and CIELAB themselves. */
import { describe, expect, test } from 'vitest';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { chroma, hueDeg, labD50, type LabD50, labToXyz, type Xyz, xyzToLab } from '../../analysis/colour/lab.ts';
import {
  type ComparedInk,
  nibShading,
  nibShadingOf,
  toneShift,
  toneShiftOf,
} from '../../analysis/measure/colourPairs.ts';
import type { MeasuredInk } from '../../analysis/measure/ink.ts';
import {
  colourQuantities,
  spreadQuantities,
  type ToldInk,
  type ToldSpread,
  withLight,
} from '../../analysis/measure/inkQuantities.ts';
import type { LabValue, Quantity } from '../../analysis/quantity.ts';
import { triple } from '../../analysis/triple.ts';

const none = [0, 0, 0, 0, 0, 0, 0, 0, 0];
const ink = (lab: LabD50, more: Partial<ComparedInk> = {}): ComparedInk => ({
  region: 'r',
  placement: [0, 0, 0],
  light: 0,
  flags: [],
  lab,
  own: lab,
  covariance: none,
  ...more,
});
const diagonal = ([L, a, b]: LabValue) => [L * L, 0, 0, 0, a * a, 0, 0, 0, b * b];
const moved = (lab: LabD50, by: LabValue) => labD50(lab[0] + by[0], lab[1] + by[1], lab[2] + by[2]);
const axes = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
] as const;
const of = (quantities: readonly Quantity[], name: string): Quantity => {
  const found = quantities.find(({ quantity }) => quantity === name);
  if (!found) throw new Error(`${name} is not among the quantities`);
  return found;
};

const A = labD50(60, 14, -22);
const B = labD50(41, 20, -35);
/** What a small step of A along each axis does to ΔE00(A, B). */
const slope = axes.map((axis) => {
  const at = (t: number) =>
    deltaE2000(
      moved(
        A,
        triple((k) => t * axis[k]),
      ),
      B,
    );
  return (at(0.01) - at(-0.01)) / 0.02;
});
const slopeOfB = axes.map((axis) => {
  const at = (t: number) =>
    deltaE2000(
      A,
      moved(
        B,
        triple((k) => t * axis[k]),
      ),
    );
  return (at(0.01) - at(-0.01)) / 0.02;
});

describe('nibShading', () => {
  const how = { calibration: 0, twoLights: false, method: 'm' };

  test('is ΔE00; scatter of either goes along the way from one to the other', () => {
    const scatter = [0.4, 0.2, 0.3] as const;
    const told = nibShadingOf(ink(A), ink(B, { covariance: diagonal(scatter) }), how);
    expect(told.value).toBe(deltaE2000(A, B));
    expect(told.uParts?.repeatability).toBeCloseTo(Math.hypot(...slopeOfB.map((s, k) => s * scatter[k])), 3);
    const both = nibShadingOf(
      ink(A, { covariance: diagonal(scatter) }),
      ink(B, { covariance: diagonal(scatter) }),
      how,
    );
    expect(Number(both.uParts?.repeatability) / Number(told.uParts?.repeatability)).toBeCloseTo(Math.SQRT2, 9);
  });

  test('scatter that goes together on two axes counts as such', () => {
    const together = (sign: 1 | -1) => [0.04, 0.04 * sign, 0, 0.04 * sign, 0.04, 0, 0, 0, 0];
    const [plus, minus] = ([1, -1] as const).map((sign) =>
      Number(nibShadingOf(ink(A), ink(B, { covariance: together(sign) }), how).uParts?.repeatability),
    );
    expect(plus).toBeCloseTo(0.2 * Math.abs(slopeOfB[0] + slopeOfB[1]), 3);
    expect(minus).toBeCloseTo(0.2 * Math.abs(slopeOfB[0] - slopeOfB[1]), 3);
  });

  test('placement counts axis by axis, calibration as it is', () => {
    const told = nibShadingOf(ink(A, { placement: [0.3, 0, 0.1] }), ink(B, { placement: [0.4, 0.2, 0] }), {
      ...how,
      calibration: 0.7,
    });
    const each = [0.5, 0.2, 0.1].map((p, k) => p * slopeOfB[k]);
    expect(told.uParts?.placement).toBeCloseTo(Math.hypot(...each), 3);
    expect(told.uParts?.calibration).toBeCloseTo(0.7, 9);
    expect(told.u).toBeCloseTo(Math.hypot(0.7, ...each), 3);
  });

  test('light that is off by a share moves one of two scans and not one of two regions of a page', () => {
    const light = 0.006;
    const [grey, darker] = [labD50(70, 0, 0), labD50(68, 0, 0)];
    const brighter = xyzToLab(triple((k) => (1 + light) * labToXyz(grey)[k]));
    const change = Math.abs(deltaE2000(brighter, darker) - deltaE2000(grey, darker));
    const of = (twoLights: boolean) =>
      nibShadingOf(ink(grey, { light }), ink(darker), { ...how, twoLights }).uParts?.calibration;
    expect(of(false)).toBe(0);
    expect(Number(of(true)) / change).toBeCloseTo(1, 1);
  });

  test('flags of both are told once each', () => {
    const told = nibShadingOf(
      ink(A, { flags: ['clipped', 'few-pixels'] }),
      ink(B, { flags: ['few-pixels', 'overlapped'] }),
      how,
    );
    expect(told.flags).toEqual(['clipped', 'few-pixels', 'overlapped']);
  });

  const measured = (lab: LabD50, paper: Xyz): MeasuredInk => ({
    region: 'r',
    colour: { xyz: labToXyz(lab), lab, covariance: none, pixels: 1000 },
    placement: [0, 0, 0],
    light: 0.01,
    paper: { signal: [0.8, 0.8, 0.8], xyz: paper, lab: xyzToLab(paper) },
    flags: [],
  });
  const white: Xyz = [0.85, 0.88, 0.7];

  test('two scans with a calibration each are two lights and share less of their error', () => {
    const [a, b] = [measured(A, white), measured(B, white)];
    const one = nibShading(a, b, nominalCalibration);
    expect(nibShading(a, b, nominalCalibration, nominalCalibration)).toEqual(one);
    const two = nibShading(a, b, nominalCalibration, { ...nominalCalibration });
    expect(Number(two.uParts?.calibration)).toBeGreaterThan(Number(one.uParts?.calibration));
    expect(two.value).toBe(one.value);
  });

  test('adapted, an ink of the same share of its paper’s light on each is the same', () => {
    const cream: Xyz = [0.8, 0.82, 0.5];
    const share = [0.3, 0.25, 0.6];
    const on = (paper: Xyz) => measured(xyzToLab(triple((k) => share[k] * paper[k])), paper);
    const told = toneShift(on(white), on(cream), nominalCalibration);
    expect(of(told, 'toneShift').value).toBeGreaterThan(4);
    expect(of(told, 'toneShift.adapted').value).toBeCloseTo(0, 6);
  });
});

describe('toneShift', () => {
  const how = { calibration: 1, method: 'm' };

  test('differences are the other’s minus the pale one’s; hue turns the short way', () => {
    const told = toneShiftOf(ink(labD50(60, 30, 4)), ink(labD50(52, 38, -5)), { ...how, calibration: 0.1 });
    expect(of(told, 'toneShift.dL').value).toBeCloseTo(-8, 9);
    expect(of(told, 'toneShift.dC').value).toBeCloseTo(Math.hypot(38, 5) - Math.hypot(30, 4), 9);
    // From 7.6° to 352.5°.
    expect(of(told, 'toneShift.dHue').value).toBeCloseTo((Math.atan2(-5, 38) - Math.atan2(4, 30)) * (180 / Math.PI), 6);
  });

  test.each([
    ['toneShift.dL', (lab: LabD50, u: number) => labD50(lab[0] + u, lab[1], lab[2])],
    [
      'toneShift.dC',
      ([L, a, b]: LabD50, u: number) => labD50(L, a * (1 + u / Math.hypot(a, b)), b * (1 + u / Math.hypot(a, b))),
    ],
    [
      'toneShift.dHue',
      ([L, a, b]: LabD50, u: number) => {
        const [c, s] = [Math.cos((u * Math.PI) / 180), Math.sin((u * Math.PI) / 180)];
        return labD50(L, a * c - b * s, a * s + b * c);
      },
    ],
  ] as const)('u of %s is what makes one ΔE00', (name, step) => {
    // A green of hue 180°, where CIEDE2000’s T is 0.98 and hue and chroma do not mix.
    const lab = labD50(72, -40, 0);
    const u = Number(of(toneShiftOf(ink(lab), ink(lab), how), name).u);
    expect(deltaE2000(step(lab, -u / 2), step(lab, u / 2))).toBeGreaterThan(0.95);
    expect(deltaE2000(step(lab, -u / 2), step(lab, u / 2))).toBeLessThan(1.05);
  });

  test('told through a film each has its own doubt, beside what scatter and placement leave', () => {
    const parts = { adapted: 0.5, dL: 0.3, dC: 0.4, dHueDeg: 2 };
    const exact = toneShiftOf(ink(A), ink(B), { ...how, calibration: 0.2, parts });
    expect(of(exact, 'toneShift').u).toBeCloseTo(0.2, 9);
    expect(of(exact, 'toneShift.adapted').u).toBeCloseTo(0.5, 9);
    expect(of(exact, 'toneShift.dL').u).toBeCloseTo(0.3, 9);
    expect(of(exact, 'toneShift.dC').u).toBeCloseTo(0.4, 9);
    expect(of(exact, 'toneShift.dHue').u).toBeCloseTo(2, 9);
    const placed = toneShiftOf(ink(A, { placement: [0.5, 0, 0] }), ink(B), { ...how, calibration: 0.2, parts });
    const beside = 0.5 * Math.abs(slopeOfB[0]);
    // At the mean lightness of the two CIEDE2000 counts a step of L* by 1 / S_L.
    const sL = 1 + (0.015 * 0.5 ** 2) / Math.sqrt(20 + 0.5 ** 2);
    expect(of(placed, 'toneShift.dL').u).toBeCloseTo(Math.hypot(0.3, beside * sL), 3);
  });

  test('of inks whose chroma is less than twice u no hue is told', () => {
    const pale = (C: number) => toneShiftOf(ink(labD50(50, C, 0)), ink(labD50(50, 30, 0)), { ...how, calibration: 2 });
    expect(of(pale(3.9), 'toneShift.dHue')).toMatchObject({ value: null, u: null });
    expect(of(pale(3.9), 'toneShift.dHue').flags).toContain('cannot-tell');
    expect(of(pale(4.2), 'toneShift.dHue').value).toBeCloseTo(0, 9);
  });

  test('pages lie otherwise on the bed: their light counts, of both', () => {
    const of = (a: number, b: number) =>
      Number(
        toneShiftOf(ink(A, { light: a }), ink(B, { light: b }), { ...how, calibration: 0 })[0].uParts?.calibration,
      );
    // A share of light moves L* by (L* + 16) / 3 times as much: of a far darker colour by less.
    expect(of(0.01, 0)).toBeCloseTo(0.01 * ((60 + 16) / 3) * Math.abs(slope[0]), 4);
    expect(of(0, 0.01)).toBeCloseTo(0.01 * ((41 + 16) / 3) * Math.abs(slopeOfB[0]), 4);
    expect(of(0.006, 0.008)).toBeCloseTo(Math.hypot(of(0.006, 0), of(0, 0.008)), 9);
    const dark = labD50(20, 0, 0);
    const light = (of: number, ofDark: number) =>
      toneShiftOf(ink(labD50(80, 0, 0), { light: of }), ink(dark, { light: ofDark }), { ...how, calibration: 0 })[0];
    const ratio = Number(light(0, 0.01).uParts?.calibration) / Number(light(0.01, 0).uParts?.calibration);
    expect(ratio).toBeCloseTo((20 + 16) / (80 + 16), 1);
  });
});

describe('one region', () => {
  const lab = labD50(45, 12, -30);
  const told = (more: Partial<ToldInk> = {}) =>
    colourQuantities({
      lab,
      luminance: labToXyz(lab)[1],
      paperLuminance: 0.85,
      repeatability: [0, 0, 0],
      calibration: [0, 0, 0],
      calibrationL: 0,
      placement: [0, 0, 0],
      subject: { regions: ['r'] },
      flags: [],
      methods: { inkColour: 'c', inkDensity: 'd' },
      ...more,
    });

  test('hue and chroma with what a* and b* do to them', () => {
    const calibration = [0.5, 0.8, 0.3] as const;
    const quantities = told({ calibration });
    const by = (figure: (lab: LabD50) => number) =>
      Math.hypot(
        ...axes.map((axis, k) => {
          const at = (t: number) =>
            figure(
              moved(
                lab,
                triple((c) => t * axis[c] * calibration[k]),
              ),
            );
          return (at(0.01) - at(-0.01)) / 0.02;
        }),
      );
    expect(of(quantities, 'inkColour.hue').value).toBeCloseTo(hueDeg(lab), 9);
    expect(of(quantities, 'inkColour.hue').u).toBeCloseTo(by(hueDeg), 4);
    expect(of(quantities, 'inkColour.chroma').value).toBeCloseTo(chroma(lab), 9);
    expect(of(quantities, 'inkColour.chroma').u).toBeCloseTo(by(chroma), 4);
  });

  test('a hue whose doubt across reaches half of the chroma is none', () => {
    const grey = (C: number) => told({ lab: labD50(45, C, 0), calibration: [0, 0.1, 1] });
    expect(of(grey(1.95), 'inkColour.hue')).toMatchObject({ value: null, u: null });
    expect(of(grey(1.95), 'inkColour.hue').flags).toContain('cannot-tell');
    expect(of(grey(2.05), 'inkColour.hue').value).toBe(0);
  });

  test('density is told against the paper, with what lightness alone does to it: light that falls on both takes no part', () => {
    const quantities = told({
      repeatability: [0.3, 9, 9],
      calibration: [5, 9, 9],
      calibrationL: 0.4,
      placement: [0.2, 9, 9],
    });
    const density = of(quantities, 'inkDensity');
    expect(density.value).toBeCloseTo(Math.log10(0.85 / labToXyz(lab)[1]), 9);
    const perL =
      (Math.log10(labToXyz(labD50(45.01, 12, -30))[1]) - Math.log10(labToXyz(labD50(44.99, 12, -30))[1])) / 0.02;
    expect(density.uParts?.repeatability).toBeCloseTo(0.3 * perL, 6);
    expect(density.uParts?.calibration).toBeCloseTo(0.4 * perL, 6);
    expect(density.uParts?.placement).toBeCloseTo(0.2 * perL, 6);
  });

  test('a level of light that is off moves a colour as scaled XYZ do', () => {
    const off = xyzToLab(triple((k) => 1.002 * labToXyz(lab)[k]));
    withLight([0, 0, 0], lab, 0.002).forEach((u, k) => expect(u / Math.abs(off[k] - lab[k])).toBeCloseTo(1, 2));
    expect(withLight([3, 0, 0], labD50(59, 0, 0), 0.16)[0]).toBeCloseTo(Math.hypot(3, 4), 9);
  });

  const spread = (more: Partial<ToldSpread> = {}) =>
    spreadQuantities({
      name: 'shading',
      dE00: 4,
      dL: 5,
      dHueDeg: 10,
      uRepeat: { dE00: 0.3, dL: 0.4, dHueDeg: 3 },
      calibration: { dE00: 0.4, dL: 0.3, dHueDeg: 4 },
      placement: { dE00: 1.2, dL: 1.2 },
      subject: { regions: ['r'] },
      flags: [],
      method: 'm',
      ...more,
    });

  test('the step between dark and light has each part in quadrature', () => {
    expect(of(spread(), 'shading').u).toBeCloseTo(1.3, 9);
    expect(of(spread(), 'shading.dL').u).toBeCloseTo(1.3, 9);
    expect(of(spread(), 'shading.dHue').u).toBeCloseTo(5, 9);
    expect(spread({ name: 'swabVariation' }).map(({ quantity }) => quantity)).toEqual([
      'swabVariation',
      'swabVariation.dL',
    ]);
  });

  test('a turn of hue in doubt by half a radian is none', () => {
    const turn = (dHueDeg: number | null, u: number) =>
      of(
        spread({ dHueDeg, uRepeat: { dE00: 0, dL: 0, dHueDeg: u }, calibration: { dE00: 0, dL: 0, dHueDeg: 0 } }),
        'shading.dHue',
      );
    expect(turn(10, 28.5).value).toBe(10);
    expect(turn(10, 28.8)).toMatchObject({ value: null, u: null });
    expect(turn(null, 1)).toMatchObject({ value: null, u: null });
  });
});
