/**
 * What is drawn of a scan, held in its place on the scan while the view already has another size: drawing it anew is work for a later
 * frame, for this one lays out the page.
 */
import type { ViewPlace } from './viewPlace.ts';

export class HeldPicture {
  private readonly canvas: HTMLElement;
  private drawn: ViewPlace | null = null;
  private held = false;

  constructor(canvas: HTMLElement) {
    this.canvas = canvas;
  }

  /** It is about to be drawn as the view is by now. */
  draws(place: ViewPlace | null): void {
    this.drawn = place;
    if (!this.held) return;
    this.held = false;
    Object.assign(this.canvas.style, { width: '100%', height: '100%', transform: '' });
  }

  hold(place: ViewPlace): void {
    const { drawn } = this;
    if (!drawn) return;
    this.held = true;
    Object.assign(this.canvas.style, {
      width: `${drawn.size.width}px`,
      height: `${drawn.size.height}px`,
      transformOrigin: '0 0',
      transform: transformTo(drawn, place),
    });
  }
}

/** What lies over the scan as it is drawn lies over it at `place`, too. Origin: the top left corner. */
export function transformTo(drawn: ViewPlace, place: ViewPlace): string {
  const [left, top] = place.toScreen(drawn.toScan([0, 0]));
  return `translate(${left}px, ${top}px) scale(${place.screenPerPx / drawn.screenPerPx})`;
}
