/** Grounds known by their colour, R0 and T from colours on several of them, and how far an ink hides them. */
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../../analysis/colour/deltaE.ts';
import { labD50, type LabD50, labToXyz, xyzToLab } from '../../../analysis/colour/lab.ts';
import { xyzOnGrid } from '../../../analysis/film/grid.ts';
import { channelsOf, xyzOfChannels } from '../../../analysis/measure/opacity/channels.ts';
import { groundOfLab } from '../../../analysis/measure/opacity/groundOfLab.ts';
import {
  alongGrounds,
  contrastByGrounds,
  foretellByGrounds,
  type GroundPoint,
  groundsLayer,
} from '../../../analysis/measure/opacity/groundsLayer.ts';
import { onGround } from '../../../analysis/measure/opacity/layerOptics.ts';
import { hiding } from '../../../analysis/measure/opacity/opacityFindings.ts';
import type { LabValue, Quantity } from '../../../analysis/quantity.ts';

/** Three channels of a layer, exactly. */
const LAYER = { r0: [0.03, 0.02, 0.04], t: [0.35, 0.6, 0.8] } as const;
const WHITE = labD50(95, 0, 1);
const YELLOW = labD50(86, -4, 48);
const BLACK = labD50(22, 0, 0);

function inkOn(ground: LabD50): LabD50 {
  const under = channelsOf(labToXyz(ground));
  const [a, b, c] = under.map((g, i) => onGround(LAYER.r0[i], LAYER.t[i], g));
  return xyzToLab(xyzOfChannels([a, b, c]));
}
const point = (ground: LabD50, doseSd = 0.01): GroundPoint => ({
  ground,
  ink: inkOn(ground),
  u: [0.2, 0.2, 0.2],
  doseSd,
});

describe('a ground by its colour', () => {
  test.each<[string, LabValue]>([
    ['white paper', [95, 0, 2]],
    ['yellow paper', [85, -2, 55]],
    ['a dark grey card', [30, 0, 0]],
    ['a strong red', [48, 55, 30]],
  ])('%s is given a reflectance of exactly that colour, and so are those that may be it, too', (_, lab) => {
    const { reflectance, doubts } = groundOfLab(lab);
    expect(deltaE2000(xyzToLab(xyzOnGrid(reflectance)), labD50(...lab))).toBeLessThan(1e-9);
    expect(doubts.length).toBeGreaterThan(3);
    for (const doubt of doubts) expect(deltaE2000(xyzToLab(xyzOnGrid(doubt)), labD50(...lab))).toBeLessThan(1e-9);
    expect(Math.min(...reflectance)).toBeGreaterThan(0);
    expect(Math.max(...reflectance)).toBeLessThanOrEqual(1.05);
  });

  test('one that sends back nothing is taken for all but black, whatever hue is asked for', () => {
    for (const ab of [
      [0, 0],
      [60, -60],
    ] as const) {
      const { reflectance } = groundOfLab([0, ...ab]);
      const [lightness] = xyzToLab(xyzOnGrid(reflectance));
      expect(lightness).toBeLessThan(0.03);
      expect(Math.min(...reflectance)).toBeGreaterThan(0);
    }
  });
});

describe('R0 and T of three channels', () => {
  test('come back from a white and a black ground, and foretell a third', () => {
    const layer = groundsLayer([point(WHITE), point(BLACK)])!;
    layer.channels.forEach(({ r0, t, rr, tt }, c) => {
      expect(Math.abs(r0 - LAYER.r0[c])).toBeLessThan(2 * Math.sqrt(rr));
      expect(Math.abs(t - LAYER.t[c])).toBeLessThan(Math.max(0.01, 2 * Math.sqrt(tt)));
    });
    const { lab, u } = foretellByGrounds(layer, YELLOW, 0);
    expect(deltaE2000(lab, inkOn(YELLOW))).toBeLessThan(0.002);
    const { value } = contrastByGrounds(layer);
    const y = (ground: number): number => {
      const [a, b, c] = LAYER.r0.map((r0, i) => onGround(r0, LAYER.t[i], ground));
      return xyzOfChannels([a, b, c])[1];
    };
    expect(value).toBeCloseTo(y(0) / y(0.89), 1);
    // A dose that is less sure makes it all less sure.
    expect(foretellByGrounds(layer, YELLOW, 0.2).u[0]).toBeGreaterThan(u[0]);
  });

  test('a third ground narrows them', () => {
    const [two, three] = [
      [WHITE, YELLOW],
      [WHITE, YELLOW, BLACK],
    ].map((grounds) => groundsLayer(grounds.map((ground) => point(ground))));
    expect(three!.channels[1].rr).toBeLessThan(0.5 * two!.channels[1].rr);
  });

  test('one ground, or two alike, tell nothing', () => {
    expect(groundsLayer([point(WHITE)])).toBeNull();
    expect(groundsLayer([point(WHITE), point(labD50(93, 1, 5))])).toBeNull();
  });

  test('dose by dose a picture goes from the bare ground to the ink that was seen', () => {
    const layer = groundsLayer([point(WHITE), point(BLACK)])!;
    const [bare, half, whole] = alongGrounds(layer, YELLOW, [0, 0.5, 1]);
    expect(deltaE2000(bare, YELLOW)).toBeLessThan(1e-6);
    expect(deltaE2000(whole, foretellByGrounds(layer, YELLOW, 0).lab)).toBeLessThan(1e-9);
    expect(half[0]).toBeLessThan(bare[0]);
    expect(half[0]).toBeGreaterThan(whole[0]);
  });
});

describe('hiding', () => {
  const shift = (value: number | null, u: number | null): Quantity => ({
    quantity: 'toneShift',
    subject: { regions: ['a', 'b'] },
    value,
    unit: 'ΔE00',
    u,
    flags: [],
    method: 'toneShift/1',
  });
  const papers: readonly [LabValue, LabValue] = [WHITE, YELLOW];

  test('an ink of one colour on both papers hides them; one as different as they are hides nothing', () => {
    const opaque = hiding({ toneShift: shift(0, 0.3), papers, uPapers: 0.3 });
    expect(opaque).toMatchObject({ value: 1, verdict: 'opaque', subject: { regions: ['a', 'b'] } });
    const between = deltaE2000(WHITE, YELLOW);
    const clear = hiding({ toneShift: shift(between, 0.3), papers, uPapers: 0.3 });
    expect(clear).toMatchObject({ value: expect.closeTo(0, 12), verdict: 'translucent' });
    const nearly = hiding({ toneShift: shift(0.1 * between, 0.1), papers, uPapers: 0.3 });
    expect(nearly).toMatchObject({ verdict: 'nearly opaque' });
    expect(Number(nearly?.u)).toBeCloseTo(Math.hypot(0.1, 0.1 * 0.3) / between, 6);
  });

  test('two papers that are alike have nothing to hide, and it is said', () => {
    const same = hiding({ toneShift: shift(0.4, 0.3), papers: [WHITE, [94, 0, 1.5]], uPapers: 0.3 });
    expect(same).toMatchObject({ value: null, u: null, flags: ['grounds-alike'] });
  });

  test('papers that differ too little for any word to be told give no number', () => {
    const near: readonly [LabValue, LabValue] = [WHITE, [WHITE[0] - 1, WHITE[1], WHITE[2] + 3.5]];
    const between = deltaE2000(labD50(...near[0]), labD50(...near[1]));
    expect(between).toBeGreaterThan(2);
    const doubtful = hiding({ toneShift: shift(0.3 * between, 0.08 * between), papers: near, uPapers: 0.3 });
    expect(doubtful).toMatchObject({ value: null, u: null, flags: ['cannot-tell'] });
    const sure = hiding({ toneShift: shift(0.3 * between, 0.05 * between), papers: near, uPapers: 0.1 });
    expect(sure?.value).toBeCloseTo(0.7, 6);
  });

  test('without a tone shift there is none', () => {
    expect(hiding({ toneShift: shift(null, null), papers, uPapers: 0.3 })).toBeNull();
  });
});
