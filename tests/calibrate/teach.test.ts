/** Teaching a card, on exact readings: a device that is linear but for its curve, so that every patch's true value is known. */
import { describe, expect, test } from 'vitest';
import type { Calibration, PatchReading, PointMm, SurroundReading } from '../../analysis/calibrate/calibration.ts';
import { lightAtCard } from '../../analysis/calibrate/cardLight.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { taughtReferenceText, teachCard, type TeachingScan } from '../../analysis/calibrate/teach.ts';
import { colourUncertainty } from '../../analysis/calibrate/uncertainty.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { triple } from '../../analysis/triple.ts';
import { parseReference } from '../../electron/sheet/reference.ts';

type Triple = readonly [number, number, number];

/** Device = signal^(1/2.2); XYZ = a fixed 3 × 3 of the signals. */
const MATRIX = [
  [0.45, 0.36, 0.15],
  [0.24, 0.68, 0.08],
  [0.02, 0.1, 0.7],
];
const knots = Array.from({ length: 257 }, (_, i) => i / 256);
const curve = { device: knots, linear: knots.map((v) => v ** 2.2), exponent: 2.2, flare: 0 };
const known: Calibration = {
  ...nominalCalibration,
  judgement: 'good',
  model: 'linear',
  curves: [curve, curve, curve],
  matrix: MATRIX,
  leftOutMedian: 0.6,
  leftOutMean: 0.7,
};
/** Light at a place: 2 % across, a little along, bent. */
const light = (c: number, [x, y]: PointMm): number =>
  1 + 0.02 * ((x - 90) / 90) - (0.012 + 0.002 * c) * ((x - 90) / 90) ** 2 + 0.008 * ((y - 90) / 90);

function reading(id: string, signal: Triple, centreMm: PointMm, lit: typeof light, sd = 0.002): PatchReading {
  const device = triple((c) => (signal[c] * lit(c, centreMm)) ** (1 / 2.2));
  return { id, grey: false, device, sd: [sd, sd, sd], pixels: 1600, clippedShare: 0, centreMm };
}

const SIGNALS: readonly Triple[] = Array.from({ length: 24 }, (_, i) => [
  0.04 + 0.035 * (i % 24),
  0.05 + 0.03 * ((i * 7) % 24),
  0.06 + 0.028 * ((i * 11) % 24),
]);
const TRUTH = SIGNALS.map((s) =>
  xyzToLab(triple((k) => MATRIX[k][0] * s[0] + MATRIX[k][1] * s[1] + MATRIX[k][2] * s[2])),
);

/** Readings over a box in blocks of 8 mm. */
function surround(
  [left, top, width, height]: readonly [number, number, number, number],
  paper: Triple,
  lit: typeof light,
  seed: number,
): SurroundReading[] {
  const random = seededRandom(seed);
  const out: SurroundReading[] = [];
  for (let y = top + 4; y < top + height; y += 8) {
    for (let x = left + 4; x < left + width; x += 8) {
      const noise = 1 + 0.004 * (random() + random() - 1);
      const device = triple((c) => (paper[c] * lit(c, [x, y]) * noise) ** (1 / 2.2));
      out.push({ device, pixels: 500, placeMm: [x, y] });
    }
  }
  return out;
}

const KNOWN_BOX = [10, 8, 130, 84] as const;
const CARD_BOX = [5, 100, 168, 80] as const;

/** The card below the known target, on paper that is not its own. */
function together(lit: typeof light, seed = 1, sd = 0.002): TeachingScan {
  return {
    calibration: { ...known, flatField: fieldOver(KNOWN_BOX, lit) },
    knownSurround: surround(KNOWN_BOX, [0.9, 0.9, 0.86], lit, seed),
    cardSurround: surround(CARD_BOX, [0.84, 0.85, 0.87], lit, seed + 100),
    card: SIGNALS.map((s, i) => reading(`P${i}`, s, [20 + 6.5 * i, 115 + (i % 5) * 12], lit, sd)),
  };
}

/** As the calibration would have found it, exactly: mean 1 over the box. */
function fieldOver([left, top, width, height]: readonly [number, number, number, number], lit: typeof light) {
  const centreMm: PointMm = [left + width / 2, top + height / 2];
  const halfMm: PointMm = [width / 2, height / 2];
  const at = (c: number, u: number, v: number): number =>
    lit(c, [centreMm[0] + u * halfMm[0], centreMm[1] + v * halfMm[1]]);
  const coefficients = [0, 1, 2].map((c) => {
    const [o, r, l, d, t] = [at(c, 0, 0), at(c, 1, 0), at(c, -1, 0), at(c, 0, 1), at(c, 0, -1)];
    return [o, (r - l) / 2, (d - t) / 2, (r + l) / 2 - o, 0, (d + t) / 2 - o];
  });
  return { coefficients, centreMm, halfMm, residual: 0.002 };
}

const even = (): number => 1;
const places = (scan: TeachingScan): PointMm[] => scan.card.map((p) => p.centreMm);

describe('values', () => {
  test('even light: exactly what the device saw', () => {
    const scan: TeachingScan = { ...together(even), calibration: known, knownSurround: [], cardSurround: [] };
    const { patches } = teachCard([scan]);
    expect([...patches.keys()]).toEqual(scan.card.map((p) => p.id));
    TRUTH.forEach((truth, i) => expect(deltaE2000(truth, patches.get(`P${i}`)!.lab)).toBeLessThan(1e-9));
  });

  test('uneven light is carried from the target to the card, whose paper is another', () => {
    const { patches } = teachCard([together(light)]);
    const errors = TRUTH.map((truth, i) => deltaE2000(truth, patches.get(`P${i}`)!.lab));
    expect(Math.max(...errors)).toBeLessThan(0.03);
    // Without the card's own paper the known target's light is only held at its edge.
    const blind = teachCard([{ ...together(light), cardSurround: [] }]);
    const worse = TRUTH.map((truth, i) => deltaE2000(truth, blind.patches.get(`P${i}`)!.lab));
    expect(Math.max(...worse)).toBeGreaterThan(8 * Math.max(...errors));
    for (const [id, { u }] of patches) expect(u![0]).toBeLessThan(blind.patches.get(id)!.u![0]);
  });

  test('a stain on the card’s paper has no say', () => {
    const scan = together(light);
    const stained = scan.cardSurround.map((r, i) =>
      i % 9 === 4 ? { ...r, device: triple((c) => 0.9 * r.device[c]) } : r,
    );
    const clean = teachCard([scan]).patches;
    const { patches } = teachCard([{ ...scan, cardSurround: stained }]);
    for (const [id, { lab }] of patches) expect(deltaE2000(lab, clean.get(id)!.lab)).toBeLessThan(0.01);
  });

  test('several scans are averaged', () => {
    const noisy = [1, 2, 3, 4].map((seed): TeachingScan => {
      const random = seededRandom(seed);
      const scan = together(even, seed);
      return {
        ...scan,
        calibration: known,
        knownSurround: [],
        cardSurround: [],
        card: scan.card.map((p) => ({ ...p, device: triple((c) => p.device[c] * (1 + 0.01 * (random() - 0.5))) })),
      };
    });
    const error = (scans: readonly TeachingScan[]): number => {
      const { patches } = teachCard(scans);
      return TRUTH.reduce((sum, truth, i) => sum + deltaE2000(truth, patches.get(`P${i}`)!.lab), 0) / TRUTH.length;
    };
    expect(error(noisy)).toBeLessThan(0.7 * error([noisy[0]]));
  });
});

describe('u', () => {
  const plain = (sd: number): TeachingScan => ({
    ...together(even, 1, sd),
    calibration: known,
    knownSurround: [],
    cardSurround: [],
  });

  test('is never less than the calibration’s own', () => {
    for (const { lab, u } of teachCard([plain(0.002)]).patches.values()) {
      const own = colourUncertainty(lab, known);
      for (let k = 0; k < 3; k++) expect(u![k]).toBeGreaterThan(own[k]);
    }
  });

  test('grows with the patch’s own scatter', () => {
    const [fine, coarse] = [0.002, 0.1].map((sd) => teachCard([plain(sd)]).patches);
    for (const [id, { u }] of coarse) expect(u![0]).toBeGreaterThan(fine.get(id)!.u![0]);
  });

  test('light that nothing tells is in doubt by a level for all, and by a third of that for each channel alone', () => {
    // Beyond the target's own light, whose surface fits so well: nothing but the doubt of the level differs.
    const [blind, less] = [0.02, 0.002].map((residual): TeachingScan => {
      const scan = together(even);
      const flatField = { ...fieldOver(KNOWN_BOX, even), residual };
      return { ...scan, calibration: { ...known, flatField }, knownSurround: [], cardSurround: [] };
    });
    const [of, ofLess] = [blind, less].map((scan) => lightAtCard(scan.calibration, [], [], places(scan)).doubt);
    expect(of).toBeGreaterThan(2 * ofLess);
    const [u, uLess] = [blind, less].map((scan) => teachCard([scan]).patches);
    const labOf = (signal: Triple) =>
      xyzToLab(triple((k) => MATRIX[k][0] * signal[0] + MATRIX[k][1] * signal[1] + MATRIX[k][2] * signal[2]));
    SIGNALS.forEach((signal, i) => {
      for (let k = 0; k < 3; k++) {
        const moved = (share: Triple) => labOf(triple((c) => signal[c] * (1 + share[c])))[k] - labOf(signal)[k];
        const by = (doubt: number) =>
          Math.hypot(
            moved([doubt, doubt, doubt]),
            ...[0, 1, 2].map((c) => moved(triple((d) => (d === c ? 0.3 * doubt : 0)))),
          );
        const light = u.get(`P${i}`)!.u![k] ** 2 - uLess.get(`P${i}`)!.u![k] ** 2;
        expect(light / (by(of) ** 2 - by(ofLess) ** 2)).toBeCloseTo(1, 2);
      }
    });
  });

  test('more scans make only the repeatable part smaller', () => {
    const few = teachCard(Array.from({ length: 2 }, () => plain(0.1))).patches;
    const many = teachCard(Array.from({ length: 9 }, () => plain(0.1))).patches;
    for (const [id, { lab, u }] of many) {
      const before = few.get(id)!.u!;
      const own = colourUncertainty(lab, known);
      for (let k = 0; k < 3; k++) {
        expect(u![k]).toBeLessThan(before[k]);
        expect(u![k]).toBeGreaterThan(own[k]);
      }
    }
  });

  test('scatter from scan to scan counts, and says so', () => {
    const apart = teachCard([
      plain(0.002),
      { ...plain(0.002), card: plain(0.002).card.map((p) => ({ ...p, device: triple((c) => p.device[c] * 1.02) })) },
    ]);
    const alike = teachCard([plain(0.002), plain(0.002)]);
    for (const [id, { u }] of apart.patches) expect(u![0]).toBeGreaterThan(alike.patches.get(id)!.u![0]);
    expect(apart.notes?.[0]).toMatch(/^taught by 2 scans that repeat within 0\.\d\d/);
    expect(teachCard([plain(0.002)]).notes?.[0]).toContain('one scan, which does not show how well it repeats');
  });

  test('a patch that something lies on keeps its place and loses its say', () => {
    const scan = plain(0.002);
    const spotted = scan.card.map((p, i) =>
      i === 3 ? { ...p, evenness: { quarterSpread: 0.2, strayShare: 0.3 } } : p,
    );
    const { patches, notes } = teachCard([{ ...scan, card: spotted }]);
    expect(Math.min(...patches.get('P3')!.u!)).toBeGreaterThan(9);
    expect(Math.max(...patches.get('P4')!.u!)).toBeLessThan(9);
    expect(notes?.join()).toContain('something lies on P3');
  });
});

describe('light at the card', () => {
  test.each([1, 2, 3, 4])('within its stated doubt, papers apart by 6 %% (noise %i)', (seed) => {
    const scan = together(light, seed);
    const found = lightAtCard(scan.calibration, scan.knownSurround, scan.cardSurround, places(scan));
    expect(found.by).toBe('both surrounds');
    expect(found.doubt).toBeLessThan(0.003);
    for (const place of places(scan)) {
      for (const c of [0, 1, 2] as const) {
        expect(Math.abs(found.at(c, place) / light(c, place) - trueScale(c, scan)) / trueScale(c, scan)).toBeLessThan(
          3 * found.doubt,
        );
      }
    }
  });

  /** The calibration's light is 1 in its own middle's mean; ours is not, so one factor a channel is free. */
  function trueScale(c: 0 | 1 | 2, scan: TeachingScan): number {
    const field = scan.calibration.flatField!;
    return field.coefficients[c][0] / light(c, field.centreMm);
  }

  test('a white sheet that covers both places is taken as it is', () => {
    const scan = together(light);
    const field = fieldOver([0, 0, 200, 200], light);
    const found = lightAtCard({ ...known, flatField: field }, scan.knownSurround, scan.cardSurround, places(scan));
    expect(found.by).toBe('the calibration');
    expect(found.doubt).toBeLessThan(0.002);
    expect(found.at(1, [90, 150])).toBeCloseTo(light(1, [90, 150]), 9);
  });

  test('a known target without bare parts: the card’s own evenness, and an honest doubt of its level', () => {
    const scan = together(light);
    const found = lightAtCard(known, [], scan.cardSurround, places(scan));
    expect(found.by).toBe('the card alone');
    expect(found.doubt).toBeGreaterThanOrEqual(0.01);
    expect(lightAtCard(known, [], [], places(scan))).toMatchObject({ by: 'nothing' });
  });
});

describe('refused', () => {
  const scan = together(light);
  test('clipped patches', () => {
    const clipped = scan.card.map((p, i) => (i < 2 ? { ...p, clippedShare: 0.2 } : p));
    expect(() => teachCard([{ ...scan, card: clipped }])).toThrow(
      /^2 of the card's 24 patches stand at an end of the scanner's scale \(P0, P1\); expected none\. Scan both anew/,
    );
  });

  test('a covered card', () => {
    const covered = scan.card.map((p, i) => (i < 6 ? { ...p, evenness: { quarterSpread: 0.2, strayShare: 0.3 } } : p));
    expect(() => teachCard([{ ...scan, card: covered }])).toThrow(/^6 of the card's 24 patches are not even inside/);
  });
});

test('the text is CGATS.17 that is read back, whatever the names in it', () => {
  const taught = teachCard([together(light)]);
  const text = taughtReferenceText(taught, { known: 'a "chart"\nof 24', printer: 'one "printer"', date: '2026-05-03' });
  expect(text.split('\n')[0]).toBe('CGATS.17');
  expect(text).toContain('DESCRIPTOR "taught by a ""chart"" of 24"');
  expect(text).toContain('PRINTER "one ""printer"""');
  const read = parseReference(text, 'card.txt');
  expect(read.patches.size).toBe(24);
  for (const [id, { lab, u }] of read.patches) {
    const own = taught.patches.get(id)!;
    for (let k = 0; k < 3; k++) {
      expect(Math.abs(lab[k] - own.lab[k])).toBeLessThan(6e-4);
      expect(Math.abs(u![k] - own.u![k])).toBeLessThan(6e-4);
    }
  }
});
