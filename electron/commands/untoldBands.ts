/** Bands that a person set and the fit left no colour: without a line nobody would know that the word was heard. */
import type { Quantity } from '../../analysis/quantity.ts';
import type { LoadedRegion } from '../sheet/loadedSheet.ts';

/** A band stays within 1.2 mm of where it was set, its crown a little farther where it has a tail: 3 mm of a run of 60 mm. */
const NEAR_RF = 0.05;

/** One line a strip: which bands that were set are not told, and why. */
export function untoldBands(regions: readonly LoadedRegion[], findings: readonly Quantity[]): string[] {
  return regions.flatMap((region) => {
    if (region.kind !== 'strip') return [];
    const set = (region.bands ?? []).flatMap((word) => ('with' in word || word.removed ? [] : [word.rF]));
    if (set.length === 0) return [];
    const places = findings.filter(
      ({ quantity, subject }) =>
        quantity === 'bandPosition' && subject.regions.length === 1 && subject.regions[0] === region.id,
    );
    const strip = `strip "${region.id}"`;
    if (places.some(({ flags }) => flags.includes('origin-not-found') || flags.includes('front-not-found')))
      return [
        `${strip}: bands set by hand are not used; expected an origin and a front, and one was not found. Give "originMm" and "frontMm".`,
      ];
    const missed = set.filter(
      (rF) => !places.some(({ value }) => typeof value === 'number' && Math.abs(value - rF) < NEAR_RF),
    );
    if (missed.length === 0) return [];
    const at = missed.map((rF) => rF.toFixed(3)).join(', ');
    return [
      `${strip}: no band is told at R_F ${at}, where ${missed.length === 1 ? 'one was' : 'some were'} set by hand: the fit found too little colour of its own there. Take ${missed.length === 1 ? 'it' : 'them'} off, or set ${missed.length === 1 ? 'it' : 'them'} on the crown.`,
    ];
  });
}
