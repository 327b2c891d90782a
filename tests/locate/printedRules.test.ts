import { describe, expect, test } from 'vitest';
import { printOnPaper } from '../../analysis/locate/besidePrint.ts';
import { darknessMap } from '../../analysis/locate/darknessMap.ts';
import { findInk } from '../../analysis/locate/inkMask.ts';
import { type PageCell, findPaper } from '../../analysis/locate/paperSurface.ts';
import { takeOffPrint } from '../../analysis/locate/printedRules.ts';
import { combGaps, inStep } from '../../analysis/locate/ruleComb.ts';
import { surfaceAt } from '../../analysis/raster/lowOrderSurface.ts';
import { components } from '../../analysis/raster/components.ts';
import { draw, flatPaper, type Line } from '../measure/drawInk.ts';

const PAPER = [0.85, 0.84, 0.8] as const;
const NOISE = [0.005, 0.005, 0.005];
const SIZE = { widthMm: 26, heightMm: 22 };

/** Of the ink's own colour, paler; from beyond one border to beyond the other, 0.4° askew. */
function rules(dose = 0.18, widthMm = 0.16): Line[] {
  return [2.1, 7.1, 12.1, 17.1].map((y) => ({
    fromMm: [-1, y],
    toMm: [SIZE.widthMm + 1, y + 0.23],
    widthMm,
    dose: () => dose,
  }));
}

function stroke(from: readonly [number, number], to: readonly [number, number], dose = 1): Line {
  return { fromMm: from, toMm: to, widthMm: 0.6, dose: () => dose };
}

function page(lines: readonly Line[], dpi = 300) {
  return draw({
    ...SIZE,
    dpi,
    paper: PAPER,
    absorption: [1.6, 1.1, 0.5],
    lines,
    blurMm: 0.05,
    noise: 0.004,
    fibres: 0.003,
  });
}

function off(lines: readonly Line[], dpi = 300) {
  const signal = page(lines, dpi);
  const ratio = signal.data.map((v, i) => v / PAPER[i % 3]);
  const before = Float32Array.from(ratio);
  return { found: takeOffPrint(() => ratio, signal, darknessMap(ratio, signal), NOISE), ratio, before };
}

const written = [stroke([6, 5], [9, 16]), stroke([9, 16], [15, 4]), stroke([17, 12], [23, 15])];

describe('printed rules', () => {
  test.each([300, 600])('are taken off, and leave paper, at %i dpi', (dpi) => {
    const { found, ratio } = off(rules(), dpi);
    expect(found).toEqual({ rules: 4, dots: 0 });
    expect(Math.abs(ratio.reduce((a, b) => a + b, 0) / ratio.length - 1)).toBeLessThan(0.001);
    expect(ratio.reduce((a, b) => Math.min(a, b), 1)).toBeGreaterThan(0.96);
  });

  describe('that run along the raster', () => {
    const level = (byMm: number): Line[] =>
      rules(0.3, 0.22).map(({ fromMm: [x, y], toMm: [right], ...line }) => ({
        ...line,
        fromMm: [x, y + byMm],
        toMm: [right, y + byMm],
      }));
    test.each([0, 0.02, 0.06])('%f mm further down, leave as little', (byMm) => {
      const { ratio, before } = off(level(byMm));
      expect(before.reduce((a, b) => Math.min(a, b), 1)).toBeLessThan(0.7);
      expect(ratio.reduce((a, b) => Math.min(a, b), 1)).toBeGreaterThan(0.975);
      expect(ratio.reduce((a, b) => Math.max(a, b), 1)).toBeLessThan(1.025);
    });

    test('a step of eight bits across the page does not bend them', () => {
      const signal = page(level(0.03));
      // Light falls off towards the lower right; eight bits make a stair of it.
      const light = (pixel: number): number =>
        1 - 0.03 * ((pixel % signal.widthPx) / signal.widthPx + pixel / signal.widthPx / signal.heightPx);
      const ratio = signal.data.map((v, i) => {
        const even = light(Math.floor(i / 3));
        return Math.round(((v * even) / PAPER[i % 3]) * 90) / 90 / even;
      });
      takeOffPrint(() => ratio, signal, darknessMap(ratio, signal), NOISE);
      expect(ratio.reduce((a, b) => Math.min(a, b), 1)).toBeGreaterThan(0.97);
    });
  });

  test('a page of nothing but rules holds no ink', () => {
    expect(findInk(page(rules()), flatPaper(PAPER))).toBeNull();
  });

  test('strokes across them are the same as on plain paper, and are not cut', () => {
    const plain = findInk(page(written), flatPaper(PAPER))!;
    const ruled = findInk(page([...rules(), ...written]), flatPaper(PAPER))!;
    expect(components(ruled.mask)).toHaveLength(2);
    const differing = plain.mask.data.reduce((n, v, i) => n + (v === ruled.mask.data[i] ? 0 : 1), 0);
    expect(differing).toBeLessThan(0.01 * plain.mask.data.reduce((a, b) => a + b, 0));
  });

  test.each([
    ['all but 3 mm', 3],
    ['the whole', 0],
  ])('writing along %s of one stays', (_, freeMm) => {
    const close = Array.from({ length: Math.floor((SIZE.widthMm - freeMm) / 0.9) }, (_none, k) =>
      stroke([0.5 + 0.9 * k, 11], [0.8 + 0.9 * k, 13.5]),
    );
    const plain = findInk(page(close), flatPaper(PAPER))!.mask.data;
    const ruled = findInk(page([...rules(), ...close]), flatPaper(PAPER))!.mask.data;
    const missed = plain.reduce((n, v, i) => n + (v > ruled[i] ? 1 : 0), 0);
    expect(missed).toBeLessThan(0.005 * plain.reduce((a, b) => a + b, 0));
  });

  test('are taken off from under a swab that leaves hardly any of them bare', () => {
    const swab: Line = { fromMm: [9.6, 11], toMm: [16.4, 11], widthMm: 13, dose: (t) => 0.6 + 0.6 * t };
    const plain = off([swab]);
    const { found, ratio } = off([...rules(), swab]);
    expect(plain.found).toBeNull();
    expect(found).toEqual({ rules: 4, dots: 0 });
    const widthPx = Math.round((SIZE.widthMm * 300) / 25.4);
    const inside = Array.from({ length: 90 }, (_, k) => 3 * ((85 + k) * widthPx + 150));
    const worst = Math.max(...inside.map((i) => Math.abs(ratio[i] / plain.ratio[i] - 1)));
    expect(worst).toBeLessThan(0.05);
  });

  test('a line drawn through a swab and to its ends stays', () => {
    const swab: Line = { fromMm: [9.6, 11], toMm: [16.4, 11], widthMm: 13, dose: () => 0.8 };
    const line: Line = { fromMm: [2, 11], toMm: [24, 11.2], widthMm: 0.16, dose: () => 0.18 };
    expect(off([swab, line]).found).toBeNull();
  });

  test('one that leaves the box at a slant is told by the others’ pitch', () => {
    const slanting = rules().map((r): Line => ({ ...r, toMm: [r.toMm[0], r.toMm[1] + 1] }));
    const last: Line = { ...slanting[0], fromMm: [-1, 20.9], toMm: [SIZE.widthMm + 1, 22.4] };
    const pitched = slanting.map((r, i): Line => ({
      ...r,
      fromMm: [-1, 2.9 + 4.5 * i],
      toMm: [SIZE.widthMm + 1, 4.4 + 4.5 * i],
    }));
    expect(last.fromMm[1]).toBeCloseTo(pitched[3].fromMm[1] + 4.5, 6);
    expect(findInk(page([...pitched, last]), flatPaper(PAPER))).toBeNull();
  });

  test('plain paper, written on or not, stays as it is to the last bit', () => {
    for (const lines of [[], written]) {
      const { found, ratio, before } = off(lines);
      expect(found).toBeNull();
      expect(ratio).toEqual(before);
    }
  });

  test('straight strokes at an even pitch that end within the box are ink', () => {
    const hatch = [3, 7, 11, 15, 19].map((y) => stroke([3, y], [SIZE.widthMm - 3, y], 0.3));
    expect(off(hatch).found).toBeNull();
    expect(components(findInk(page(hatch), flatPaper(PAPER))!.mask)).toHaveLength(5);
  });

  // A pen along a ruler, from border to border: at no pitch, or too few for one.
  test.each([
    ['three at no pitch', [3, 9.3, 13]],
    ['two', [5, 15]],
    ['one', [11]],
  ])('%s drawn with a pen are ink, beside printed ones as well', (_, at) => {
    const hatch = at.map((y) => stroke([-1, y], [SIZE.widthMm + 1, y + 0.1]));
    expect(components(findInk(page(hatch), flatPaper(PAPER))!.mask)).toHaveLength(at.length);
    const upright = rules().map(({ fromMm: [x, y], toMm: [u, v], ...rule }): Line => ({
      ...rule,
      fromMm: [y, x],
      toMm: [v, u],
    }));
    expect(off([...upright, ...hatch]).found?.rules).toBe(4);
  });
});

describe('laid paper', () => {
  /** Ribs of so many millimetres from one to the next, 4 % to either side of the mean, as thick as the valleys between. */
  const signal = page([]);
  const { widthPx } = signal;
  const laid = (pitchMm: number) => {
    const ratio = signal.data.map((v, i) => {
      const yMm = (Math.floor(i / 3 / widthPx) * 25.4) / 300;
      return (v / PAPER[i % 3]) * (1 + 0.04 * Math.sin((2 * Math.PI * yMm) / pitchMm));
    });
    return takeOffPrint(() => ratio, signal, darknessMap(ratio, signal), NOISE);
  };

  test.each([0.9, 1.1, 1.35])(
    'ribs %f mm apart are no rules: paper is their mean, not what lies between them',
    (pitchMm) => {
      expect(laid(pitchMm)).toBeNull();
    },
  );

  test('rules as fine as those of millimetre paper are', () => {
    const fine = Array.from({ length: 20 }, (_, k): Line => {
      const y = 1.5 + k;
      return { fromMm: [-1, y], toMm: [SIZE.widthMm + 1, y + 0.1], widthMm: 0.14, dose: () => 0.2 };
    });
    expect(off(fine).found?.rules).toBeGreaterThan(17);
  });
});

describe('printed dots', () => {
  const dots = Array.from({ length: 20 }, (_, k): Line => {
    const at = [1.5 + 5 * (k % 5) + 0.03 * Math.floor(k / 5), 2 + 5 * Math.floor(k / 5) - 0.03 * (k % 5)] as const;
    return { fromMm: at, toMm: [at[0] + 1e-6, at[1]], widthMm: 0.45, dose: () => 0.3 };
  });

  test('are taken off, and no ink is found among them', () => {
    expect(off(dots).found?.dots).toBeGreaterThan(14);
    expect(findInk(page(dots), flatPaper(PAPER))).toBeNull();
  });

  test('writing that hides some of them stays', () => {
    const plain = findInk(page(written), flatPaper(PAPER))!.mask.data;
    const dotted = findInk(page([...dots, ...written]), flatPaper(PAPER))!.mask.data;
    const differing = plain.reduce((n, v, i) => n + (v === dotted[i] ? 0 : 1), 0);
    expect(differing).toBeLessThan(0.02 * plain.reduce((a, b) => a + b, 0));
  });

  test('dots of a hand, on no lattice, are ink', () => {
    const strewn = dots.slice(0, 14).map((d, k): Line => {
      const at = [d.fromMm[0] + 1.7 * Math.sin(7 * k), d.fromMm[1] + 1.7 * Math.cos(11 * k)] as const;
      return { ...d, fromMm: at, toMm: [at[0] + 1e-6, at[1]] };
    });
    expect(off(strewn).found).toBeNull();
  });
});

describe('the comb of rules', () => {
  const paths = [10, 20, 40, 50].map((at) => [at, 1, 0] as const);

  test('names the place between and beyond those found', () => {
    const gaps = combGaps(paths, [0, 62]).map((p) => Math.round(p[0] * 1e6) / 1e6);
    expect(gaps).toEqual([0, 30, 60]);
  });

  test('is none where places share no pitch', () => {
    expect(
      combGaps(
        [
          [10, 0, 0],
          [17, 0, 0],
          [41, 0, 0],
        ],
        [0, 60],
      ),
    ).toEqual([]);
  });

  test('brings one that was led astray into step', () => {
    const [first] = inStep([[10, 9, 0], ...paths]);
    expect(first).toEqual([10, 1, 0]);
  });
});

describe('bare paper with print on it', () => {
  test('shows where the print lies, and nothing on plain paper', () => {
    const touched = printOnPaper(page(rules()), flatPaper(PAPER))!;
    const share = touched.reduce((a, b) => a + b, 0) / touched.length;
    expect(share).toBeGreaterThan(0.03);
    expect(share).toBeLessThan(0.15);
    expect(printOnPaper(page([]), flatPaper(PAPER))).toBeNull();
  });

  test('marked cells that a rule crosses do not pull the paper', () => {
    const cells = Array.from({ length: 400 }, (_, i): PageCell => {
      const ruled = Math.floor(i / 20) % 4 === 0;
      const level = ruled ? 0.8 : 0.85;
      const sd = ruled ? 0.05 : 0.004;
      return {
        xMm: i % 20,
        yMm: i / 20,
        mean: [level, level, level],
        sd: [sd, sd, sd],
        clippedShare: 0,
        place: 'marked',
      };
    });
    const at = [0, 0, 0];
    surfaceAt(findPaper(cells)!.surface, 10, 10, at);
    expect(at[0]).toBeCloseTo(0.85, 3);
  });
});
