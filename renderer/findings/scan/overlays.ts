/** Which marks lie on the scan: those that explain what is chosen, unless a person says otherwise. Pure. */
import type { QuantityName } from '../../../analysis/quantity.ts';
import { plotFor } from '../../reading/plotFor.ts';
import type { ShownMarks } from '../marks/marksRaster.ts';

export interface Overlays extends ShownMarks {
  readonly boxes: boolean;
  readonly edges: boolean;
  readonly widths: boolean;
  readonly hairs: boolean;
  readonly strips: boolean;
  /** On the back of a page. */
  readonly ghost: boolean;
  readonly bleed: boolean;
}
export type OverlayName = keyof Overlays;

const OF_COLOUR = { counted: true, dark: true, light: true, doubleLayer: true, sheen: false } as const;
const NO_COLOUR = { counted: false, dark: false, light: false, doubleLayer: false, sheen: false } as const;
const NO_EDGES = { edges: false, widths: false, hairs: false, halo: false } as const;
const NO_BACK = { front: false, ghost: false, bleed: false } as const;

/** @param quantity of the chosen finding; null: nothing is chosen. All marks at once would hide the ink. */
export function explaining(quantity: QuantityName | null): Overlays {
  const always = { boxes: true, strips: true };
  if (quantity === null) return { ...always, ...OF_COLOUR, ...NO_EDGES, ...NO_BACK };
  if (isOfReverse(quantity)) {
    const ghost = quantity.startsWith('ghosting');
    return { ...always, ...NO_COLOUR, ...NO_EDGES, front: false, ghost, bleed: true };
  }
  if (plotFor(quantity) === 'edge') {
    const [widths, hairs, halo] = [
      quantity.startsWith('lineWidth') || quantity === 'spread',
      quantity.startsWith('feathering'),
      quantity.startsWith('halo'),
    ];
    return { ...always, ...NO_COLOUR, ...NO_BACK, edges: true, widths, hairs, halo };
  }
  return { ...always, ...OF_COLOUR, ...NO_EDGES, ...NO_BACK, sheen: quantity === 'sheen' };
}

/** What shows or came through on the back of a page, or on the sheet under it. */
export function isOfReverse(quantity: QuantityName): boolean {
  return quantity.startsWith('ghosting') || quantity.startsWith('bleedThrough');
}

/** Lines whose edges were measured have one of these. */
const EDGED: readonly QuantityName[] = ['lineWidth', 'halo'];

/** Switches for marks of ink. By what was measured of the ink, not by what is chosen: a legend that changes its height would move the scan. */
export function inkOverlays(measured: readonly QuantityName[]): readonly OverlayName[] {
  const edged = measured.some((quantity) => EDGED.includes(quantity));
  return [
    'counted',
    'dark',
    'light',
    'doubleLayer',
    ...(measured.includes('sheen') ? (['sheen'] as const) : []),
    ...(edged ? (['edges', 'widths', 'hairs', 'halo'] as const) : []),
  ];
}
