import { describe, expect, test } from 'vitest';
import { findPaper, isWrittenOn, type PageCell } from '../../analysis/locate/paperSurface.ts';
import { surfaceAt } from '../../analysis/raster/lowOrderSurface.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';

/** A page of 40 × 30 cells of 1.5 mm; light falls by 3 % from left to right; `inked` cells are darker and rougher. */
function page(
  inked: (x: number, y: number) => boolean,
  marked: (x: number, y: number) => boolean = () => false,
): PageCell[] {
  const random = seededRandom(9);
  return Array.from({ length: 1200 }, (_, i) => {
    const [x, y] = [i % 40, Math.floor(i / 40)];
    const light = 1 - (0.03 * x) / 40 + 0.002 * (random() - 0.5);
    const ink = inked(x, y) ? 0.3 + 0.5 * random() : 1;
    const rough = inked(x, y) ? 0.1 : 0.004;
    return {
      xMm: 1.5 * x,
      yMm: 1.5 * y,
      mean: [0.85 * light * ink, 0.84 * light * ink, 0.8 * light * ink],
      sd: [rough, rough, rough],
      clippedShare: 0,
      place: marked(x, y) ? 'marked' : 'elsewhere',
    };
  });
}

describe('bare paper of a page', () => {
  test.each([
    ['two thirds written on', (x: number, y: number) => y % 3 !== 0 && x > 1],
    ['hardly written on', (x: number, y: number) => x === 5 && y === 5],
  ])('is found though %s, and follows the light', (_, inked) => {
    const paper = findPaper(page(inked));
    expect(paper).not.toBeNull();
    const at = [0, 0, 0];
    for (const x of [5, 30, 55]) {
      surfaceAt(paper!.surface, x, 20, at);
      expect(at[0] / (0.85 * (1 - (0.03 * x) / 60))).toBeCloseTo(1, 2);
    }
    expect(paper!.unevenness).toBeGreaterThan(0.012);
    expect(paper!.unevenness).toBeLessThan(0.018);
    expect(paper!.pixelNoise[0]).toBeCloseTo(0.004 / 0.84, 3);
  });

  test('a marked patch decides which of two papers is meant', () => {
    const other = page((x) => x < 25).map((c, i) => (i % 40 < 25 ? { ...c, sd: [0.004, 0.004, 0.004] as const } : c));
    const paper = findPaper(other.map((c, i) => ({ ...c, place: i % 40 > 30 && i < 400 ? 'marked' : 'elsewhere' })));
    const at = [0, 0, 0];
    surfaceAt(paper!.surface, 52, 8, at);
    expect(at[0]).toBeGreaterThan(0.8);
  });

  describe('a patch that was marked too large', () => {
    const marked = (x: number, y: number): boolean => x >= 5 && x < 35 && y >= 10 && y < 25;
    const level = (cells: readonly PageCell[]): number => {
      const at = [0, 0, 0];
      surfaceAt(findPaper(cells)!.surface, 30, 23 * 1.5, at);
      return at[0] / (0.85 * (1 - (0.03 * 20) / 40));
    };

    test('and lies on a swab, as calm as paper, tells the paper beside it', () => {
      const cells = page(() => false, marked).map((c, i): PageCell => {
        const isSwab = Math.floor(i / 40) < 21;
        return isSwab ? { ...c, mean: [c.mean[0] * 0.8, c.mean[1] * 0.5, c.mean[2] * 0.9] } : c;
      });
      expect(level(cells)).toBeCloseTo(1, 2);
      expect(isWrittenOn(cells)).toBe(true);
    });

    test('is no reference from a fiftieth of it on', () => {
      const withInk = (count: number): PageCell[] =>
        page((x, y) => y === 12 && x >= 5 && x < 5 + count, marked).map((c, i) =>
          i === 0 ? { ...c, mean: [0.1, 0.1, 0.1] } : c,
        );
      expect(isWrittenOn(withInk(0))).toBe(false);
      expect(isWrittenOn(withInk(8))).toBe(false);
      expect(isWrittenOn(withInk(12))).toBe(true);
    });

    test('is one under light that falls by a tenth, and none where nothing is marked', () => {
      const dim = page(() => false, marked).map((c, i): PageCell => {
        const light = 1 - (0.1 * (i % 40)) / 40;
        return { ...c, mean: [c.mean[0] * light, c.mean[1] * light, c.mean[2] * light] };
      });
      expect(isWrittenOn(dim)).toBe(false);
      expect(isWrittenOn(page(() => true))).toBe(false);
    });
  });

  test('a lid around the sheet, as pale and calmer, is not taken for it', () => {
    const sheet = page((_, y) => y % 3 !== 0).map((c, i): PageCell => {
      const lid = i % 40 < 8 || i % 40 > 33;
      return lid ? { ...c, mean: [0.9, 0.9, 0.9], sd: [0.001, 0.001, 0.001] } : { ...c, place: 'written' };
    });
    const at = [0, 0, 0];
    surfaceAt(findPaper(sheet)!.surface, 30, 20, at);
    expect(at[2]).toBeLessThan(0.81);
  });

  test('no cells, no paper', () => {
    expect(findPaper([])).toBeNull();
  });
});
