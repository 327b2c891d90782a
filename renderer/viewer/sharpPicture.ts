/**
 * The scan at rest, on canvases side by side, of which a frame draws one: a canvas is copied to the screen in every frame that draws on it,
 * and one of 10 MB took the page's thread 16 ms, 25 when it was new. Parts that are as they should be are left alone.
 */
import { type DrawnTile, drawTile } from './drawnTile.ts';
import { transformTo } from './heldPicture.ts';
import { type PartBox, partBoxes } from './pictureParts.ts';
import { isSameView, type Size, type ViewPlace } from './viewPlace.ts';

interface Part {
  readonly canvas: HTMLCanvasElement;
  readonly box: PartBox;
  /** Which tiles are on it and where; '': it is not seen. */
  content: string;
}

/** All parts of a view of one size. */
interface Layer {
  readonly element: HTMLElement;
  readonly parts: readonly Part[];
  readonly size: Size;
  readonly ratio: number;
  /** What its parts show. */
  place: ViewPlace | null;
}

export class SharpPicture {
  private readonly host: HTMLElement;
  private layer: Layer | null = null;
  /** As it was drawn for another size, in its place on the scan, until all parts are there for this one. */
  private under: Layer | null = null;

  /** @param host its last child is the picture */
  constructor(host: HTMLElement) {
    this.host = host;
  }

  /** What is drawn keeps its place on the scan in a view of another size, until it is drawn for it. */
  hold(place: ViewPlace): void {
    const held = this.under ?? this.layer;
    if (held !== this.layer) takeAway(this.layer);
    if (!held?.place) return;
    this.layer = null;
    this.under = held;
    held.element.style.transform = transformTo(held.place, place);
  }

  end(): void {
    this.dropUnder();
    takeAway(this.layer);
    this.layer = null;
  }

  /** Something else is seen instead. */
  hide(): void {
    this.dropUnder();
    for (const part of this.layer?.parts ?? []) show(part, '');
  }

  /**
   * Draws a part that is not as it should be; all of them if it would not fit its neighbours.
   * @param ratio the screen's px for each CSS px. @param tiles in the order in which they lie over each other
   * @returns whether all is drawn now
   */
  draw(place: ViewPlace, ratio: number, smooth: boolean, tiles: readonly DrawnTile[]): boolean {
    const layer = this.layerFor(place.size, ratio);
    const contents = layer.parts.map(({ box }) => contentOf(tiles, box, ratio, smooth));
    const due = layer.parts.flatMap((part, i) =>
      part.content === contents[i] ? [] : [{ part, content: contents[i] }],
    );
    const isTorn = layer.place !== null && !isSameView(layer.place.view, place.view) && layer.parts.some(isSeen);
    const now = isTorn ? due : due.slice(0, 1);
    for (const { part, content } of now) {
      if (content !== '') drawPart(part, ratio, smooth, tiles);
      show(part, content);
    }
    layer.place = place;
    if (now.length < due.length) return false;
    this.dropUnder();
    return true;
  }

  private layerFor(size: Size, ratio: number): Layer {
    const { layer } = this;
    if (layer?.ratio === ratio && layer.size.width === size.width && layer.size.height === size.height) return layer;
    takeAway(layer);
    this.layer = layerOf(size, ratio);
    this.host.append(this.layer.element);
    return this.layer;
  }

  private dropUnder(): void {
    takeAway(this.under);
    this.under = null;
  }
}

/** With its memory: else the engine gives back that of many canvases at a stretch, when it collects them. */
function takeAway(layer: Layer | null): void {
  layer?.element.remove();
  for (const { canvas } of layer?.parts ?? []) canvas.width = 0;
}

function layerOf(size: Size, ratio: number): Layer {
  const element = document.createElement('div');
  element.className = 'viewer-sharp';
  const parts = partBoxes({ width: Math.round(size.width * ratio), height: Math.round(size.height * ratio) }).map(
    (box) => {
      const canvas = document.createElement('canvas');
      const { width, height } = box;
      Object.assign(canvas, { width, height });
      Object.assign(canvas.style, {
        left: `${box.left / ratio}px`,
        top: `${box.top / ratio}px`,
        width: `${width / ratio}px`,
        height: `${height / ratio}px`,
        visibility: 'hidden',
      });
      return { canvas, box, content: '' };
    },
  );
  element.append(...parts.map(({ canvas }) => canvas));
  return { element, parts, size, ratio, place: null };
}

function show(part: Part, content: string): void {
  part.content = content;
  part.canvas.style.visibility = content === '' ? 'hidden' : '';
}

function isSeen({ content }: Part): boolean {
  return content !== '';
}

function drawPart({ canvas, box }: Part, ratio: number, smooth: boolean, tiles: readonly DrawnTile[]): void {
  const context = canvas.getContext('2d');
  if (!context) return;
  context.clearRect(0, 0, box.width, box.height);
  context.imageSmoothingEnabled = smooth;
  for (const tile of tiles) if (isOn(tile, box, ratio)) drawTile(context, tile, ratio, box);
}

function contentOf(tiles: readonly DrawnTile[], box: PartBox, ratio: number, smooth: boolean): string {
  const on = tiles.filter((tile) => isOn(tile, box, ratio));
  if (on.length === 0) return '';
  return `${smooth} ${on.map(({ key, left, top, width }) => `${key} ${left} ${top} ${width}`).join(' ')}`;
}

function isOn({ left, top, width, height }: DrawnTile, box: PartBox, ratio: number): boolean {
  return (
    left * ratio < box.left + box.width &&
    (left + width) * ratio > box.left &&
    top * ratio < box.top + box.height &&
    (top + height) * ratio > box.top
  );
}
