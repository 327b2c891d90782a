/** What a person says of a strip's bands, as the sheet keeps it. Pure. */
import { isOneBand } from '../../analysis/measure/strip/saidOnto.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { SheetRegion } from '../../electron/backend/api.ts';

export type StripRegion = Extract<SheetRegion, { kind: 'strip' }>;
/** One that has a box: it can be shown. */
export type PlacedStrip = StripRegion & { readonly boxMm: [number, number, number, number] };
export type SaidBand = NonNullable<StripRegion['bands']>[number];

const MOST_RF = 1.02;

export function withBands(region: StripRegion, bands: readonly SaidBand[]): StripRegion {
  const { bands: _, ...rest } = region;
  return bands.length === 0 ? rest : { ...rest, bands: [...bands] };
}

/** A band is there: added where none was found, or held where one was. What was taken away there is no longer. */
export function withBandAt(region: StripRegion, rF: number): StripRegion {
  const place = placeOf(rF);
  const others = saidOf(region).filter((said) => 'with' in said || !isOneBand(said.rF, place));
  return withBands(region, [...others, { rF: place }]);
}

/** No band is there. One that was added goes with its own word; another is said to be none. */
export function withoutBandAt(region: StripRegion, rF: number): StripRegion {
  const place = placeOf(rF);
  const said = saidOf(region);
  const others = said.filter((one) => !isAbout(one, place));
  const added = said.some((one) => isPin(one) && isOneBand(one.rF, place));
  return withBands(region, added ? others : [...others, { rF: place, removed: true }]);
}

/** Two bands are one dye. */
export function withBandsMerged(region: StripRegion, a: number, b: number): StripRegion {
  const [first, second] = [placeOf(Math.min(a, b)), placeOf(Math.max(a, b))];
  const others = saidOf(region).filter(
    (one) =>
      !('with' in one && isOneBand(one.rF, first) && isOneBand(one.with, second)) && !isPinAt(one, first, second),
  );
  return withBands(region, [...others, { rF: first, with: second }]);
}

export function withoutWord(region: StripRegion, word: SaidBand): StripRegion {
  return withBands(
    region,
    saidOf(region).filter((said) => saidWords(said) !== saidWords(word)),
  );
}

export function isHeldAt(region: StripRegion, rF: number): boolean {
  return saidOf(region).some((said) => isPin(said) && isOneBand(said.rF, rF));
}

export function saidOf({ bands }: StripRegion): readonly SaidBand[] {
  return bands ?? [];
}

/** 'A band is at R_F 0.420'. */
export function saidWords(said: SaidBand): string {
  const at = (rF: number): string => `R_F ${fixed(rF, 3)}`;
  if ('with' in said) return `The bands at ${at(said.rF)} and ${fixed(said.with, 3)} are one dye`;
  return said.removed === true ? `No band is at ${at(said.rF)}` : `A band is at ${at(said.rF)}`;
}

/** That one is there. */
export function isPin(said: SaidBand): said is { rF: number } {
  return !('with' in said) && said.removed !== true;
}

/** Bands that are one are no longer held apart by pins. */
function isPinAt(said: SaidBand, ...places: readonly number[]): boolean {
  return isPin(said) && places.some((place) => isOneBand(said.rF, place));
}

function isAbout(said: SaidBand, rF: number): boolean {
  return 'with' in said ? isOneBand(said.rF, rF) || isOneBand(said.with, rF) : isOneBand(said.rF, rF);
}

function placeOf(rF: number): number {
  return Math.round(1e4 * Math.min(MOST_RF, Math.max(0, rF))) / 1e4;
}
