/** A kept film fit, told under the names that its regions have now. */
import type { FittedInk } from '../../analysis/measure/film/fittedInk.ts';
import type { InkLayer } from '../../analysis/measure/opacity/inkLayer.ts';
import type { calledNow } from '../library/firstId.ts';
import type { KeptFilm } from './keptFilms.ts';

/** A region that is gone and whose name another bears by now is told as removed. */
export function filmAsCalled({ inks, missing }: KeptFilm, called: NonNullable<ReturnType<typeof calledNow>>): KeptFilm {
  const now = (first: string): string => {
    const { id, isGone } = called(first);
    return isGone ? `${id} (removed)` : id;
  };
  const all = <T extends { readonly regions: readonly string[] }>(of: readonly T[]): T[] =>
    of.map((one) => ({ ...one, regions: one.regions.map(now) }));
  const each = <T extends { readonly region: string }>(of: readonly T[]): T[] =>
    of.map((one) => ({ ...one, region: now(one.region) }));
  const layerOf = (layer: InkLayer): InkLayer => ({ ...layer, samples: each(layer.samples) });
  return {
    missing: all(missing),
    inks: inks.map((ink): FittedInk => ({
      ...ink,
      regions: ink.regions.map(now),
      strangers: ink.strangers.map(now),
      curves: all(ink.curves),
      points: each(ink.points),
      ends: each(ink.ends),
      quality: { ...ink.quality, misfits: each(ink.quality.misfits) },
      layer: ink.layer && layerOf(ink.layer),
      without: all(ink.without).map((one) => ({ ...one, layer: layerOf(one.layer) })),
    })),
  };
}
