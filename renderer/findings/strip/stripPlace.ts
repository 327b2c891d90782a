/**
 * Where a strip's profile is drawn: beside a standing strip, under a lying one, mm for mm along it at every zoom. Across it the
 * profile keeps its size on the screen. Pure.
 */
import type { RegionDetail, StripDetail } from '../../../electron/backend/api.ts';

type BoxPx = RegionDetail['boxPx'];

/** CSS px. */
export interface ProfileSize {
  readonly gap: number;
  /** Across a standing strip: the curves, then the labels; without words only numbers and colours. */
  readonly plot: number;
  readonly labels: number;
  readonly words: boolean;
  /** Across a lying strip: all of it. */
  readonly lying: number;
}
const SIZES: readonly (ProfileSize & { readonly from: number })[] = [
  { from: 900, gap: 12, plot: 260, labels: 168, words: true, lying: 240 },
  { from: 430, gap: 10, plot: 150, labels: 168, words: true, lying: 168 },
  { from: 0, gap: 8, plot: 84, labels: 44, words: false, lying: 132 },
];

/** What a view has room for. @param across its width, CSS px. */
export function profileSize(across: number): ProfileSize {
  return SIZES.find(({ from }) => across >= from) ?? SIZES[SIZES.length - 1];
}

export interface StripPlace {
  /** The run goes up or down the page. */
  readonly standing: boolean;
  /** Corner of the panel, px of the scan, where its own px begin: along runs with the strip, across away from it. */
  readonly cornerPx: readonly [x: number, y: number];
  /** CSS px of the strip's length at this zoom. */
  readonly length: number;
  /** CSS px along for each mm of `placesMm`. */
  readonly screenPerMm: number;
}

export function stripPlace(
  strip: Pick<StripDetail, 'travel'>,
  [x, y, width, height]: BoxPx,
  dpi: number,
  pxPerScreen: number,
  { gap: gapScreen }: ProfileSize,
): StripPlace {
  const standing = strip.travel === 'up' || strip.travel === 'down';
  const gap = gapScreen * pxPerScreen;
  return {
    standing,
    cornerPx: standing ? [x + width + gap, y] : [x, y + height + gap],
    length: (standing ? height : width) / pxPerScreen,
    screenPerMm: dpi / 25.4 / pxPerScreen,
  };
}

/** The box that a view should show so that the profile beside the strip is in it, too, when the view is `across` × `down` CSS px. */
export function boxWithProfile(
  strip: Pick<StripDetail, 'travel'>,
  [x, y, width, height]: BoxPx,
  across: number,
  down: number,
): BoxPx {
  const standing = strip.travel === 'up' || strip.travel === 'down';
  const size = profileSize(across);
  const most = size.gap + (standing ? size.plot + size.labels : size.lying);
  // The view leaves a fifth free; at that scale the panel takes so many px of the scan.
  const [room, cross] = standing ? [0.8 * across, width] : [0.8 * down, height];
  const free = Math.max(0.2 * room, room - most);
  const byLength = standing ? height / (0.8 * down) : width / (0.8 * across);
  const pxPerScreen = Math.max(byLength, cross / free);
  return standing ? [x, y, width + most * pxPerScreen, height] : [x, y, width, height + most * pxPerScreen];
}

/** Which band lies at a place of the scan, on the strip or on its profile; null: none, or the place is off both. */
export function bandAt(
  strip: StripDetail,
  boxPx: BoxPx,
  dpi: number,
  pxPerScreen: number,
  size: ProfileSize,
  [px, py]: readonly [number, number],
): { readonly band: number | null } | null {
  const { standing, cornerPx } = stripPlace(strip, boxPx, dpi, pxPerScreen, size);
  const [x, y, width, height] = boxPx;
  const panel = (standing ? size.plot + size.labels : size.lying) * pxPerScreen;
  const reach: BoxPx = standing ? [x, y, cornerPx[0] + panel - x, height] : [x, y, width, cornerPx[1] + panel - y];
  if (px < reach[0] || py < reach[1] || px > reach[0] + reach[2] || py > reach[1] + reach[3]) return null;
  const mm = ((standing ? py - y : px - x) * 25.4) / dpi;
  const near = strip.bands.filter(({ fromMm, toMm }) => mm >= Math.min(fromMm, toMm) && mm <= Math.max(fromMm, toMm));
  const away = ({ centreMm }: StripDetail['bands'][number]): number => Math.abs(centreMm - mm);
  return { band: near.toSorted((a, b) => away(a) - away(b))[0]?.band ?? null };
}

/** Labels along one line, none nearer to the next than `apart`, moved as little as that takes. @param wanted ascending. */
export function spreadLabels(wanted: readonly number[], apart: number, from: number, to: number): readonly number[] {
  const places: number[] = [];
  for (const place of wanted) places.push(Math.max(place, from, (places.at(-1) ?? -Infinity) + apart));
  for (let i = places.length - 1, limit = to; i >= 0; i--, limit -= apart) {
    if (places[i] > limit) places[i] = limit;
    else break;
  }
  return places;
}
