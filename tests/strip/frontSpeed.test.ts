/** How fast the front ran, against the law's own worked values and lines with known slopes. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { frontLine, frontLineFinding, frontSpeed } from '../../analysis/measure/strip/frontSpeed.ts';
import { told } from '../../analysis/measure/strip/strip.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';

interface Worked {
  readonly gamma_N_m: number;
  readonly r_m: number;
  readonly theta_deg: number;
  readonly eta_Pa_s: number;
  readonly t_s: number;
  readonly L_mm: number;
}
const vectors: { readonly lucas_washburn: { readonly worked: readonly Worked[] } } = JSON.parse(
  readFileSync(new URL('../vectors/chromatography.json', import.meta.url), 'utf8'),
);
const { worked } = vectors.lucas_washburn;
const liquids = [...new Set(worked.map((w) => w.eta_Pa_s))].map((eta) => worked.filter((w) => w.eta_Pa_s === eta));

// Washburn (1921), Phys. Rev. 17, 273: L² = γ·r·cos θ·t/(2η).
describe.each(liquids.map((rows) => ({ rows })))('a liquid of the law’s worked values', ({ rows }) => {
  const [{ gamma_N_m, r_m, theta_deg, eta_Pa_s }] = rows;
  const law = 1000 * Math.sqrt((gamma_N_m * r_m * Math.cos((theta_deg * Math.PI) / 180)) / (2 * eta_Pa_s));

  test('the line through its fronts has the law’s slope and starts at nothing', () => {
    const line = frontLine(rows.map((w) => ({ distance: told(w.L_mm, 0, 0.1), runS: w.t_s })));
    expect(Math.abs(line.slope / law - 1)).toBeLessThan(1e-7);
    expect(Math.abs(line.startMm)).toBeLessThan(1e-5);
  });

  test('each front alone has it too', () => {
    for (const w of rows) {
      const { value } = frontSpeed('a', told(w.L_mm, 0, 0.1), w.t_s, [], []);
      expect(Math.abs(Number(value) / law - 1)).toBeLessThan(1e-6);
    }
  });
});

describe('one front', () => {
  test('u holds its distance’s and the clock’s', () => {
    const { value, u, unit } = frontSpeed('a', told(60, 0, 0.3), 400, ['found'], []);
    expect(value).toBe(3);
    expect(unit).toBe('mm/√s');
    expect(u).toBeCloseTo(Math.hypot(0.3 / 20, (0.5 * 3) / 400), 12);
  });

  test('without ends there is no speed, and the flags say why', () => {
    const lost = frontSpeed('a', null, 400, ['found'], ['front-not-found']);
    expect(lost).toMatchObject({ value: null, u: null, flags: ['found', 'front-not-found'] });
  });
});

describe('several fronts', () => {
  const front = (region: string, runS: number, mm: number) => ({ region, runS, distance: told(mm, 0, 0.2), flags: [] });

  test('fewer than three times make no line', () => {
    expect(frontLineFinding([front('a', 100, 20), front('b', 400, 40)])).toEqual([]);
    expect(frontLineFinding([front('a', 100, 20), front('b', 400, 40), front('c', 400, 41)])).toEqual([]);
  });

  test('the fronts are the curve, by time', () => {
    const [found] = frontLineFinding([front('b', 400, 41), front('a', 100, 21), front('c', 900, 61)]);
    expect(found.value).toBeCloseTo(2, 9);
    expect(found.curve?.x.values).toEqual([100, 400, 900]);
    expect(found.curve?.y[0].values).toEqual([21, 41, 61]);
    expect(found.subject.regions).toEqual(['b', 'a', 'c']);
  });

  test('the true slope lies within ± 2u nine times of ten and more, and u is no idle one', () => {
    const random = seededRandom(5);
    for (const n of [3, 4, 6, 12]) {
      let within = 0;
      let sumU = 0;
      for (let draw = 0; draw < 600; draw++) {
        const fronts = Array.from({ length: n }, (_, i) => {
          const runS = 60 + 240 * i;
          return { runS, distance: told(2.4 * Math.sqrt(runS) + 0.8 * normal(random), 0, 0.15) };
        });
        const { slope, uSlope } = frontLine(fronts);
        if (Math.abs(slope - 2.4) <= 2 * uSlope) within++;
        sumU += uSlope / 600;
      }
      expect(within / 600).toBeGreaterThan(0.92);
      expect(sumU).toBeLessThan(n === 3 ? 0.4 : 0.2);
    }
  });
});
