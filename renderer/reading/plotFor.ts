import type { QuantityName } from '../../analysis/quantity.ts';

export type PlotKind = 'lightness' | 'plane' | 'tone' | 'edge' | 'strip' | 'none';

/** Told by where ink ends and paper begins. */
const OF_EDGES = ['lineWidth', 'spread', 'raggedness', 'feathering', 'edgeBlur', 'halo'];

/** Which plot explains a quantity: where the colours lie, whither a change of paper moves them, how the lightness is spread, how ink gives way to paper, or how the strip ran. */
export function plotFor(quantity: QuantityName): PlotKind {
  if (
    ['paperTexture', 'ghosting', 'bleedThrough', 'contrastRatio', 'hiding.'].some((start) => quantity.startsWith(start))
  )
    return 'none';
  if (['band', 'originRetained', 'runShift', 'frontSpeed'].some((start) => quantity.startsWith(start))) return 'strip';
  if (quantity === 'film') return 'none';
  if (['toneShift', 'toneShift.adapted', 'hiding'].includes(quantity)) return 'tone';
  if (OF_EDGES.some((start) => quantity.startsWith(start))) return 'edge';
  if (quantity === 'inkDensity' || quantity === 'nibShading' || quantity.endsWith('.dL')) return 'lightness';
  if (quantity.startsWith('shading') || quantity.startsWith('swabVariation')) {
    return quantity.endsWith('.dHue') ? 'plane' : 'lightness';
  }
  return 'plane';
}
