/** Edges whose hairs lie so close that hardly a place is free of them: their own place is what is seen in the gaps. */
import type { CentreLine } from './centreLine.ts';
import type { EdgeSide, TwoEdges } from './lineEdges.ts';
import { gapPath, type SmoothPath } from './smoothPath.ts';

export interface HiddenStroke {
  readonly stroke: { readonly line: CentreLine; readonly inner: Uint8Array };
  readonly edges: TwoEdges;
  readonly left: { readonly path: SmoothPath };
  readonly right: { readonly path: SmoothPath };
  /** 1 where both edges count, hairs or none. */
  readonly own: Uint8Array;
  readonly counted: Uint8Array;
}

/**
 * The same strokes with both edges where the gaps between their hairs show them, at all places that are the strokes' own.
 * @returns and by how much, px, all edges together make a line broader than so
 */
export function betweenHairs<S extends HiddenStroke>(
  strokes: readonly S[],
  pxPerMm: number,
): { readonly strokes: S[]; readonly hiddenPx: number } {
  let broader = 0;
  let places = 0;
  const between = strokes.map((stroke) => {
    const { own, edges } = stroke;
    const counted = own.map((is, i) => is & stroke.stroke.inner[i]);
    const edgeOf = (side: EdgeSide, { path }: { readonly path: SmoothPath }): EdgeSide => ({
      ...side,
      away: gapPath({ line: stroke.stroke.line, away: side.away, path: path.away, counted: own }, pxPerMm),
    });
    const gaps = { left: edgeOf(edges.left, stroke.left), right: edgeOf(edges.right, stroke.right) };
    for (let i = 0; i < counted.length; i++) {
      const by = edges.left.away[i] + edges.right.away[i] - gaps.left.away[i] - gaps.right.away[i];
      if (counted[i] === 0 || Number.isNaN(by)) counted[i] = 0;
      else {
        broader += by;
        places++;
      }
    }
    return { ...stroke, edges: gaps, counted };
  });
  return { strokes: between, hiddenPx: places > 0 ? broader / places : 0 };
}
