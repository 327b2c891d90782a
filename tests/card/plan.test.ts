/** What the card's plan is for: it can be found, read, and one dirty corner does not spoil a family of colours. */
import { describe, expect, test } from 'vitest';
import { CARD_PLACES, WETLINE_CARD } from '../../analysis/calibrate/card/plan.ts';
import { fillFreeCard } from '../../analysis/calibrate/freeCard.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { type LabD50, xyzToLab } from '../../analysis/colour/lab.ts';
import { srgbToXyzD50 } from '../../analysis/colour/srgb.ts';
import { layoutJson } from '../../electron/card/layoutJson.ts';
import { parseLayout } from '../../electron/sheet/layout.ts';

const { layout, patches } = WETLINE_CARD;
const { widthMm, heightMm, marginMm, pitchMm } = CARD_PLACES;

/** As a screen would show it: what a printer makes of it is not known, but neighbours that differ here differ there. */
function labOf(id: string): LabD50 {
  return xyzToLab(srgbToXyzD50(...patches.get(id)!));
}

function quarter([x, y]: readonly number[]): number {
  return (x + marginMm < widthMm / 2 ? 0 : 1) + (y < CARD_PLACES.spanMm[1] / 2 ? 0 : 2);
}

describe('sizes', () => {
  test('24 greys and 72 colours of 7 mm or more, each once and each another colour', () => {
    expect(layout.patches.filter((p) => p.grey)).toHaveLength(24);
    expect(layout.patches).toHaveLength(96);
    for (const { boxMm } of layout.patches) expect(Math.min(boxMm[2], boxMm[3])).toBeGreaterThanOrEqual(7);
    expect(new Set([...patches.values()].map((rgb) => rgb.join()))).toHaveProperty('size', 96);
    expect([...patches.keys()].toSorted()).toEqual(layout.patches.map((p) => p.id).toSorted());
  });

  test('it lies beside a page of A5 and beside a reflection target of 5 × 7 inches on a bed of A4', () => {
    expect(widthMm).toBeLessThanOrEqual(210 - 25);
    expect(heightMm).toBeLessThanOrEqual(297 - 210);
    expect(heightMm + 127).toBeLessThan(297);
  });

  test('everything is on the card, and nothing on anything else', () => {
    const boxes = [
      ...layout.patches.map((p) => p.boxMm),
      layout.slantedEdge!.boxMm,
      ...layout.pointsMm.map(([x, y]) => [x - 2.5, y - 2.5, 5, 5] as const),
    ];
    boxes.forEach(([x, y, w, h], i) => {
      expect(x + marginMm).toBeGreaterThanOrEqual(3);
      expect(y + marginMm).toBeGreaterThanOrEqual(3);
      expect(x + w + marginMm).toBeLessThanOrEqual(widthMm - 3);
      expect(y + h + marginMm).toBeLessThanOrEqual(heightMm - 3);
      for (const [u, v, p, q] of boxes.slice(i + 1)) {
        // At least 2 mm of bare card between any two.
        expect(x > u + p + 1.99 || u > x + w + 1.99 || y > v + q + 1.99 || v > y + h + 1.99).toBe(true);
      }
    });
  });
});

describe('order', () => {
  test('neighbours differ by more than any misplacement could hide', () => {
    const at = new Map(
      layout.patches.map((p) => [
        p.boxMm
          .slice(0, 2)
          .map((v) => v.toFixed(1))
          .join(),
        p.id,
      ]),
    );
    let pairs = 0;
    for (const { id, boxMm } of layout.patches) {
      for (const [dx, dy] of [
        [pitchMm, 0],
        [0, pitchMm],
      ]) {
        const other = at.get(`${(boxMm[0] + dx).toFixed(1)},${(boxMm[1] + dy).toFixed(1)}`);
        if (other === undefined) continue;
        pairs++;
        expect(deltaE2000(labOf(id), labOf(other)), `${id} ${other}`).toBeGreaterThan(10);
      }
    }
    expect(pairs).toBe(15 * 6 + 16 * 5);
  });

  test('every hue, every step, and light, middle and dark greys lie in all four quarters', () => {
    const families = new Map<string, Set<number>>();
    for (const { id, boxMm } of layout.patches) {
      const k = Number(id.slice(1)) - 1;
      const names = id.startsWith('G') ? [`greys ${Math.floor(k / 8)}`] : [`hue ${Math.floor(k / 6)}`, `step ${k % 6}`];
      for (const name of names) families.set(name, (families.get(name) ?? new Set()).add(quarter(boxMm)));
    }
    expect(families.size).toBe(3 + 12 + 6);
    for (const [name, quarters] of families) expect(quarters.size, name).toBe(4);
  });

  test('light and dark greys are balanced, so that a slope of the light is not taken for a tone curve', () => {
    const greys = layout.patches.filter((p) => p.grey);
    for (const k of [0, 1]) {
      const places = greys.map((p) => p.boxMm[k]);
      const mean = places.reduce((a, b) => a + b, 0) / greys.length;
      const middle = (greys.length - 1) / 2;
      const both = greys.reduce((sum, _, i) => sum + (i - middle) * (places[i] - mean), 0);
      const own = Math.sqrt(
        greys.reduce((sum, _, i) => sum + (i - middle) ** 2, 0) * places.reduce((sum, p) => sum + (p - mean) ** 2, 0),
      );
      expect(Math.abs(both / own)).toBeLessThan(0.15);
    }
  });

  test('greys go from bare paper to black in even steps', () => {
    const values = layout.patches.filter((p) => p.grey).map((p) => patches.get(p.id)!);
    for (const [r, g, b] of values) expect([g, b]).toEqual([r, r]);
    expect(values[0][0]).toBe(1);
    expect(values[23][0]).toBe(0);
    values.slice(1).forEach(([v], i) => expect(Math.abs(values[i][0] - v - 1 / 23)).toBeLessThan(1 / 255));
  });
});

test('a slanted edge that lies among the patches is no bare card', () => {
  const free = fillFreeCard({ ...layout, slantedEdge: { boxMm: [40, 26.6, 4, 2] } }, 0);
  expect(free.holds(42, 27.1)).toBe(false);
  expect(fillFreeCard(layout, 0).holds(42, 27.1)).toBe(true);
});

test('the layout file is read back as the layout itself', () => {
  expect(parseLayout(layoutJson(), 'card-layout.json')).toEqual(layout);
});
