/** A box that was marked as bare paper: what it tells, and when it tells nothing. */
import { describe, expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { colourUncertainty } from '../../analysis/calibrate/uncertainty.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { measurePaper } from '../../analysis/measure/paper.ts';
import { paperTexture } from '../../analysis/measure/paperTexture.ts';
import type { RegionInput } from '../../analysis/measure/region.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';
import { flatPaperOf } from '../../study/edges/worlds.ts';

const PAPER = [0.86, 0.85, 0.82] as const;
const SWAB = [0.1, 0.2, 0.55] as const;
const calibration = compileCalibration(nominalCalibration);

/** 8 by 8 mm at 300 dpi. @param inkedShare of the box's width that a swab of signal `inked` covers @param clippedShare of its pixels @param paper its signal */
function box(
  inkedShare: number,
  clippedShare = 0,
  paper: readonly number[] = PAPER,
  inked: readonly number[] = SWAB,
): RegionInput {
  const side = 94;
  const random = seededRandom(7);
  const data = new Float32Array(3 * side * side);
  for (let i = 0; i < side * side; i++) {
    const grain = 1 + 0.004 * normal(random);
    for (let c = 0; c < 3; c++) data[3 * i + c] = (i % side < inkedShare * side ? inked : paper)[c] * grain;
  }
  return {
    id: 'box',
    signal: {
      data,
      widthPx: side,
      heightPx: side,
      dpi: 300,
      originPx: [0, 0],
      clipped: Uint8Array.from({ length: side * side }, (_, i) => (i < clippedShare * side * side ? 1 : 0)),
    },
    calibration,
    paper: flatPaperOf(PAPER, 0.004),
    bare: barePaperOf(PAPER, calibration),
    scannerBlurMm: 0.06,
    scanFlags: [],
  };
}

test('bare paper has a colour and a texture', () => {
  const [colour, texture] = measurePaper(box(0));
  const truth = barePaperOf(PAPER, calibration).lab;
  const value = colour.value;
  if (value === null || typeof value === 'number') throw new Error('paperColour has no colour');
  for (const c of [0, 1, 2]) expect(Math.abs(value[c] - truth[c])).toBeLessThan(0.008);
  expect(colour.flags).toEqual([]);
  expect(Number(texture.value)).toBeGreaterThan(0);
  expect(Number(texture.value)).toBeLessThan(0.06);
});

test.each([0.08, 0.5, 0.9])('a box that lies on a swab with %f of its width is no paper’s colour', (share) => {
  const [colour, texture] = measurePaper(box(share));
  expect(colour).toMatchObject({ value: null, u: null });
  expect(colour.verdict).toBeUndefined();
  expect(colour.flags).toContain('not-uniform');
  // How unlike the parts are is what its texture says.
  expect(Number(texture.value)).toBeGreaterThan(3);
});

describe('squares of a texture', () => {
  const SQUARE_PX = 5;
  const L_STEP = 0.05;
  /** At 254 dpi, so many squares across and down; print, if any, covers the first columns of pixels of each. */
  const squares = (across: number, down: number, printed = 0) => {
    const [w, h] = [across * SQUARE_PX, down * SQUARE_PX];
    const xyz = new Float32Array(3 * w * h);
    const print = new Uint8Array(w * h);
    for (let i = 0; i < w * h; i++) {
      const [x, y] = [i % w, Math.floor(i / w)];
      const isPrinted = x % SQUARE_PX < printed;
      const step = (Math.floor(x / SQUARE_PX) + Math.floor(y / SQUARE_PX)) % 2 === 0 ? L_STEP : 0;
      xyz.set(isPrinted ? [0.1, 0.1, 0.1] : [0.7 + step, 0.72 + step, 0.6 + step], 3 * i);
      if (isPrinted) print[i] = 1;
    }
    return paperTexture(xyz, printed > 0 ? print : null, w, h, 254);
  };

  test('are nine at least', () => {
    expect(squares(4, 2)).toBeNull();
    expect(squares(3, 3)).not.toBeNull();
  });

  test('count without their print, and not at all where it covers more than half', () => {
    expect(squares(6, 6, 2)!.sd).toBeCloseTo(squares(6, 6)!.sd, 5);
    expect(squares(6, 6, 3)).toBeNull();
  });

  test('of one block alone have the doubt of so many', () => {
    const { sd, u } = squares(3, 3)!;
    expect(u).toBeCloseTo(sd / Math.sqrt(2 * (9 - 3)), 6);
  });
});

test('the doubt of a texture is that of a standard deviation of so many squares', () => {
  const [, texture] = measurePaper(box(0));
  // 15 by 15 squares of half a millimetre, 5.9 px each, about a plane of three terms; 4 by 4 blocks, which scatter themselves.
  const plain = Number(texture.value) / Math.sqrt(2 * 222);
  expect(Number(texture.u)).toBeGreaterThanOrEqual(plain);
  expect(Number(texture.u)).toBeLessThan(1.5 * plain);
});

describe('the texture is the paper’s, not that of the light on it', () => {
  /** @param slope Of the light across the box, and @param bow of its middle against its ends, as shares. @param clouds How far patches of 2 mm differ. */
  function textureUnder(
    slope: number,
    bow: number,
    sideMm: number,
    clouds = 0,
    dpi = 300,
    highMm = sideMm,
  ): { value: number; u: number } {
    const side = Math.round((sideMm * dpi) / 25.4);
    const high = Math.round((highMm * dpi) / 25.4);
    const random = seededRandom(11);
    const cloud = Array.from({ length: 400 }, () => clouds * normal(random));
    const data = new Float32Array(3 * side * high);
    for (let i = 0; i < side * high; i++) {
      const [x, y] = [i % side, Math.floor(i / side)];
      const t = (2 * x) / side - 1;
      const patch = cloud[20 * Math.floor(y / 24) + Math.floor(x / 24)];
      const light = (1 + slope * t - bow * t * t) * (1 + patch + 0.004 * normal(random));
      for (let c = 0; c < 3; c++) data[3 * i + c] = PAPER[c] * light;
    }
    const plain = box(0);
    const clipped = new Uint8Array(side * high);
    const signal = { ...plain.signal, data, widthPx: side, heightPx: high, dpi, clipped };
    const { value, u } = measurePaper({ ...plain, signal, paper: null })[1];
    if (typeof value !== 'number' || typeof u !== 'number') throw new Error('no texture');
    return { value, u };
  }

  test('a slope in a small box, and a bow in a large one, add nothing', () => {
    // Left in, the slope alone would be 0.42 in L*.
    expect(Math.abs(textureUnder(0.02, 0, 8).value - textureUnder(0, 0, 8).value)).toBeLessThan(0.001);
    expect(Math.abs(textureUnder(0.02, 0.02, 30).value - textureUnder(0, 0, 30).value)).toBeLessThan(0.001);
  });

  test('squares are half a millimetre at any resolution', () => {
    // Of grain that is finer than a pixel the scatter falls as the square's side grows: as many squares of 5.41 px as fit, not of 5.
    const at275 = textureUnder(0, 0, 30, 0, 275).value;
    expect(Math.abs((at275 * 275) / (textureUnder(0, 0, 30).value * 300) - 1)).toBeLessThan(0.03);
  });

  test('a bow in a box that is narrow one way is followed, through a small one it is the paper’s', () => {
    expect(textureUnder(0, 0.02, 30, 0, 300, 4).value).toBeLessThan(1.05 * textureUnder(0, 0, 30, 0, 300, 4).value);
    expect(textureUnder(0, 0.02, 8).value).toBeGreaterThan(1.5 * textureUnder(0, 0, 8).value);
  });

  test('clouds count, and the fewer there are the wider the doubt', () => {
    const even = textureUnder(0, 0, 30);
    const cloudy = textureUnder(0, 0, 30, 0.004);
    // 0.4 % of this paper's light are 0.146 in L*, less in squares that lie on the border of two clouds.
    expect(cloudy.value).toBeGreaterThan(0.11);
    expect(cloudy.value).toBeLessThan(0.146);
    // Squares of one cloud go together: 225 clouds of 16 squares say no more than 225 squares do.
    const perSquare = (found: { value: number; u: number }): number => found.u / found.value;
    expect(perSquare(cloudy)).toBeGreaterThan(2 * perSquare(even));
  });
});

test.each([
  [4.4, ['shadow']],
  [7.6, ['not-uniform']],
] as const)('two halves that differ by %f in L*: %j', (dL, flags) => {
  const [L] = barePaperOf(PAPER, calibration).lab;
  const darker = ((L - dL + 16) / (L + 16)) ** 3;
  const half = box(
    0.5,
    0,
    PAPER,
    PAPER.map((v) => v * darker),
  );
  const [colour, texture] = measurePaper({ ...half, paper: null });
  // A step has half its scatter left about the best slope through it; of two papers all of it is told.
  expect(Math.abs(Number(texture.value) - dL / (flags[0] === 'shadow' ? 4 : 2))).toBeLessThan(0.1);
  expect(colour.flags).toEqual(flags);
});

test('clipped paper has lost its texture, not found to be smooth', () => {
  const [colour, texture] = measurePaper(box(0, 0.3));
  expect(texture).toMatchObject({ value: null, u: null });
  expect(texture.flags).toContain('clipped');
  expect(colour.flags).toContain('clipped');
});

describe('a dyed sheet', () => {
  const dyed = (signal: readonly [number, number, number]): RegionInput => ({
    ...box(0, 0, signal),
    paper: flatPaperOf(signal, 0.004),
    bare: barePaperOf(signal, calibration),
  });

  test('is not brightened, and as doubtful as ink of its colour', () => {
    const [colour] = measurePaper(dyed([0.8, 0.5, 0.62]));
    const lab = barePaperOf([0.8, 0.5, 0.62], calibration).lab;
    expect(lab[2]).toBeLessThan(-2);
    expect(colour.flags).toEqual([]);
    const asInk = colourUncertainty(lab, nominalCalibration);
    if (colour.u === null || typeof colour.u === 'number') throw new Error('paperColour has no u');
    for (const c of [0, 1, 2]) expect(colour.u[c]).toBeGreaterThanOrEqual(0.99 * asInk[c]);
  });

  test('of a chroma half-way from white to dyed is half as doubtful as ink, half as paper', () => {
    const signal = [0.86, 0.82, 0.71] as const;
    const lab = barePaperOf(signal, calibration).lab;
    expect(Math.hypot(lab[1], lab[2])).toBeCloseTo(8, 0);
    const [colour] = measurePaper({ ...dyed(signal), paper: null });
    const own = colour.uParts?.calibration;
    if (own === undefined || typeof own === 'number') throw new Error('paperColour has no u in parts');
    const told = colour.value;
    if (told === null || typeof told === 'number') throw new Error('paperColour has no colour');
    const seen = labD50(told[0], told[1], told[2]);
    const [asPaper, asInk] = (['paper', 'ink'] as const).map((kind) =>
      colourUncertainty(seen, nominalCalibration, kind),
    );
    const dyedShare = (Math.hypot(seen[1], seen[2]) - 4) / 8;
    expect(asInk[2]).toBeGreaterThan(1.2 * asPaper[2]);
    for (const c of [0, 1, 2]) expect(own[c]).toBeCloseTo(asPaper[c] + dyedShare * (asInk[c] - asPaper[c]), 3);
  });

  test('a white sheet that is a little blue is', () => {
    const [colour] = measurePaper(dyed([0.84, 0.84, 0.93]));
    expect(colour.flags).toEqual(['maybe-brightened']);
  });
});

test('a box of which half lies in shade says so, and its u reaches to the lighter side', () => {
  const shade = PAPER.map((v) => 0.96 * v);
  const light = barePaperOf(PAPER, calibration).lab;
  for (const share of [0.4, 0.5, 0.7]) {
    const [colour] = measurePaper(box(share, 0, PAPER, shade));
    const { value, uParts, flags } = colour;
    if (value === null || typeof value === 'number') throw new Error('no colour');
    expect(flags).toEqual(['shadow']);
    expect(light[0] - value[0]).toBeGreaterThan(0.5);
    const [reach] = [uParts?.placement].flat();
    // Of seven squares across one lies on the border.
    expect(Number(reach) / (light[0] - value[0])).toBeGreaterThan(0.7);
    expect(Number(reach) / (light[0] - value[0])).toBeLessThan(1.05);
  }
});

test('shade over a corner of a box of a few mm is left out of it', () => {
  const small = box(0.2, 0, PAPER, [0.81, 0.8, 0.77]);
  // 5 by 5 mm of it.
  const side = 60;
  const data = new Float32Array(3 * side * side);
  for (let y = 0; y < side; y++) {
    for (let i = 0; i < 3 * side; i++) data[3 * side * y + i] = small.signal.data[3 * 94 * y + 3 * 9 + i];
  }
  const signal = { ...small.signal, data, widthPx: side, heightPx: side, clipped: new Uint8Array(side * side) };
  const { value, flags } = measurePaper({ ...small, signal })[0];
  if (value === null || typeof value === 'number') throw new Error('no colour');
  expect(flags).toEqual([]);
  expect(Math.abs(value[0] - barePaperOf(PAPER, calibration).lab[0])).toBeLessThan(0.03);
});
