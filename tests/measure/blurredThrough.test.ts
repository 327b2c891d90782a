/** Lines that blur runs through: their edges' sigma says so where the count of pixels does not. */
import { describe, expect, test } from 'vitest';
import { areCrossingsFilled, isBlurredThrough } from '../../analysis/measure/edge/measureEdges.ts';
import { measureStrokes } from '../../analysis/measure/ink.ts';
import type { Flag } from '../../analysis/quantity.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { pathOf, smoothEdge, strokeAlong } from '../../study/edges/strokeShapes.ts';
import { inputOf } from '../../study/edges/worlds.ts';
import { strokesPage } from './strokesPage.ts';

/** A net of lines, each crossed six times. @param scannerBlurMm sigma */
function flagsOf(lineMm: number, scannerBlurMm: number, dpi: number): Map<string, readonly Flag[]> {
  const random = seededRandom(5);
  const line = (from: readonly [number, number], to: readonly [number, number]) =>
    strokeAlong(
      pathOf((t) => [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1])]),
      () => lineMm / 2,
      () => 0.7,
      { shape: smoothEdge() },
      random,
    );
  const strokes = [
    line([2, 2.6], [26, 3.3]),
    line([2, 6.4], [26, 7.1]),
    ...[4, 8, 12, 16, 20, 24].map((x) => line([x, 1.5], [x + 0.4, 8.4])),
  ];
  const { quantities } = measureStrokes(inputOf(strokesPage(strokes, { scannerBlurMm, dpi })));
  return new Map(quantities.map((q) => [q.quantity, q.flags]));
}

describe('below-resolution by blur', () => {
  test('a line of 6 px and 2.8 sigma', () => {
    expect(flagsOf(0.5, 0.18, 300).get('inkColour')).toContain('below-resolution');
  });

  test('not a line of as many pixels that is as sharp as scanners are, at 300 and 600 dpi', () => {
    expect(flagsOf(0.5, 0.07, 300).get('inkColour')).not.toContain('below-resolution');
    expect(flagsOf(0.4, 0.075, 600).get('inkColour')).not.toContain('below-resolution');
  });

  test('of crossings from 4.8 sigma on', () => {
    expect(flagsOf(0.8, 0.18, 300).get('layering')).toContain('below-resolution');
    expect(flagsOf(0.8, 0.18, 300).get('inkColour')).not.toContain('below-resolution');
    expect(flagsOf(0.8, 0.075, 300).get('layering')).not.toContain('below-resolution');
  });

  test('the limits, and nothing where no edge was told', () => {
    expect(isBlurredThrough({ linePx: 5.9, sigmaPx: 2 })).toBe(true);
    expect(isBlurredThrough({ linePx: 6.1, sigmaPx: 2 })).toBe(false);
    expect(areCrossingsFilled({ linePx: 9.5, sigmaPx: 2 })).toBe(true);
    expect(areCrossingsFilled({ linePx: 9.7, sigmaPx: 2 })).toBe(false);
    expect(isBlurredThrough({ linePx: null, sigmaPx: null })).toBe(false);
    expect(areCrossingsFilled({ linePx: null, sigmaPx: 2 })).toBe(false);
  });
});
