/**
 * The tiles in the page: at rest each on whole pixels of the screen, without gaps; while the view moves they are carried along as one
 * layer, which is not drawn anew for that.
 */
import type { DrawnTile } from './drawnTile.ts';
import { transformTo } from './heldPicture.ts';
import type { ViewPlace } from './viewPlace.ts';

/** Enlarged more, letters cannot be read; made smaller, many more pixels are drawn than the screen has. */
const MOST_SCALED = 2;

/** Else tiles that all lie between two pixels go this way or that, by what arithmetic leaves. */
const TINY = 1e-4;

/** CSS px: between two pixels of the screen an edge is half there, and what is under both would be seen as a line. */
const OVERLAP = 1;

export class LaidTiles {
  private readonly element: HTMLElement;
  /** For which they lie where they lie. */
  private place: ViewPlace | null = null;
  private laid: ReadonlySet<HTMLImageElement> = new Set();

  /** @param element that holds them, and nothing else */
  constructor(element: HTMLElement) {
    this.element = element;
  }

  /** For a view at rest. @param ratio the screen's px for each CSS px */
  lay(place: ViewPlace, ratio: number, tiles: readonly DrawnTile[]): void {
    this.place = place;
    // As a layer of its own it would stay at the scale in which it was first composed.
    Object.assign(this.element.style, { transform: '', willChange: '' });
    this.put(tiles, place, ratio, 0);
  }

  /** For one that moves. */
  carry(place: ViewPlace, ratio: number, tiles: readonly DrawnTile[]): void {
    const { place: laidFor } = this;
    const scaled = laidFor === null ? Infinity : place.screenPerPx / laidFor.screenPerPx;
    if (laidFor === null || scaled > MOST_SCALED || scaled < 1 / MOST_SCALED) {
      this.lay(place, ratio, tiles);
      return;
    }
    this.hold(place);
    this.put(tiles, laidFor, ratio, OVERLAP);
  }

  /** As they are, in their place on the scan. */
  hold(place: ViewPlace): void {
    if (!this.place) return;
    Object.assign(this.element.style, { transform: transformTo(this.place, place), willChange: 'transform' });
  }

  setSmooth(smooth: boolean): void {
    this.element.style.imageRendering = smooth ? '' : 'pixelated';
  }

  private put(tiles: readonly DrawnTile[], place: ViewPlace, ratio: number, overlap: number): void {
    const now = new Set(tiles.map(({ element }) => element));
    for (const tile of tiles) putTile(tile, place, ratio, overlap);
    for (const old of this.laid) if (!now.has(old)) old.remove();
    this.element.append(...[...now].filter(({ parentNode }) => parentNode !== this.element));
    this.laid = now;
  }
}

function putTile({ element, layer, ...box }: DrawnTile, place: ViewPlace, ratio: number, overlap: number): void {
  const whole = (at: number): number => Math.floor(at * ratio + 0.5 + TINY) / ratio;
  const [left, top] = place.toScreen([box.left, box.top]).map(whole);
  const [right, bottom] = place.toScreen([box.right, box.bottom]).map(whole);
  Object.assign(element.style, {
    left: `${left}px`,
    top: `${top}px`,
    width: `${right - left + overlap}px`,
    height: `${bottom - top + overlap}px`,
    zIndex: String(layer),
  });
}
