/** In which order the inks stand: a new ink is judged by those that it stands among. Pure. */
import { chroma, hueDeg } from '../../analysis/colour/lab.ts';
import type { InkCard } from '../../electron/backend/api.ts';

export const SHELF_ORDERS = [
  { id: 'changed', name: 'Last changed first' },
  { id: 'name', name: 'By name' },
  { id: 'hue', name: 'By hue, greys last' },
  { id: 'darkest', name: 'Darkest first' },
] as const;
export type ShelfOrder = (typeof SHELF_ORDERS)[number]['id'];

/** Below this chroma a colour counts as a grey (common practice, no source). */
const GREY_CHROMA = 8;
const GREY = 1000;
const UNMEASURED = 2000;

export function shelfOrderIn(asked: string | undefined): ShelfOrder {
  return SHELF_ORDERS.find(({ id }) => id === asked)?.id ?? 'changed';
}

/** Stable; as the shelf has them, the last changed one stands first. Inks without a measured colour come after all others. */
export function inOrder<T extends { readonly card: Pick<InkCard, 'name' | 'swatches'> }>(
  places: readonly T[],
  order: ShelfOrder,
): readonly T[] {
  if (order === 'changed') return places;
  if (order === 'name') return places.toSorted((a, b) => a.card.name.localeCompare(b.card.name, 'en'));
  const of = order === 'hue' ? hueOf : lightnessOf;
  const at = new Map(places.map((place) => [place, of(place.card)]));
  return places.toSorted((a, b) => (at.get(a) ?? UNMEASURED) - (at.get(b) ?? UNMEASURED));
}

/** Of its darkest sample that has a hue, degrees: where most ink lies, the paper under it counts least. Greys follow, the darkest first. */
function hueOf({ swatches }: Pick<InkCard, 'swatches'>): number {
  const coloured = swatches.findLast((lab) => chroma(lab) >= GREY_CHROMA);
  if (coloured) return hueDeg(coloured);
  const darkest = swatches.at(-1);
  return darkest ? GREY + darkest[0] : UNMEASURED;
}

/** L* of its darkest sample. */
function lightnessOf({ swatches }: Pick<InkCard, 'swatches'>): number {
  return swatches.at(-1)?.[0] ?? UNMEASURED;
}
