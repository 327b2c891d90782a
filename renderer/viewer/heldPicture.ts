import type { ViewPlace } from './viewPlace.ts';

/** CSS, for what was drawn of a scan for one view: so it lies in its place on the scan in another. Origin: the top left corner. */
export function transformTo(drawn: ViewPlace, place: ViewPlace): string {
  const [left, top] = place.toScreen(drawn.toScan([0, 0]));
  return `translate(${left}px, ${top}px) scale(${place.screenPerPx / drawn.screenPerPx})`;
}
