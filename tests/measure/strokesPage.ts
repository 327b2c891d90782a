import type { Stroke, StrokeDrawing } from '../../study/edges/drawStrokes.ts';

/** Strokes on one page before one scanner, for whatever is asked of their edges. @param more what is otherwise */
export function strokesPage(strokes: readonly Stroke[], more: Partial<StrokeDrawing> = {}): StrokeDrawing {
  return {
    widthMm: 28,
    heightMm: 9.5,
    dpi: 300,
    paper: [0.86, 0.85, 0.82],
    absorption: [1.9, 1.2, 0.45],
    strokes,
    scannerBlurMm: 0.06,
    noise: 0.002,
    fibres: 0.002,
    bits: 8,
    seed: 3,
    ...more,
  };
}
