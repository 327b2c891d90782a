import type { PaperSurface } from '../analysis/locate/paperSurface.ts';

/** A paper that is the same all over, as the page pass would have found it. @param noise relative, of one pixel */
export function flatSurface(paper: readonly [number, number, number], noise = 0.008): PaperSurface {
  return {
    surface: { coefficients: paper.map((p) => [p]), centre: [0, 0], half: [100, 100] },
    pixelNoise: [noise, noise, noise],
    cellNoise: noise / 10,
    unevenness: 0,
    cells: 100,
    clippedShare: 0,
  };
}
