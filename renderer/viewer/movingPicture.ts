/**
 * The scan while its view moves: drawn of fewer pixels on a canvas of its own, over the sharp one, which is not touched meanwhile. A
 * canvas is copied in every frame that draws on it: 10 MB of a large screen took the page's thread 18 ms.
 */
import type OpenSeadragon from 'openseadragon';
import type { Size } from './viewPlace.ts';

/** So many are drawn and copied in time on a machine without a graphics processor. */
const MOVING_PX = 800_000;
/** Letters can still be read. */
const LEAST_SHARE = 0.5;

/** @param pixels the screen's pixels that the view covers. @returns the share of them that is drawn to a side, 0.5 to 1 */
export function movingShare(pixels: number): number {
  return Math.min(1, Math.max(LEAST_SHARE, Math.sqrt(MOVING_PX / pixels)));
}

export class MovingPicture {
  private readonly sharp: HTMLCanvasElement;
  private canvas: HTMLCanvasElement | null = null;

  constructor(sharp: HTMLCanvasElement) {
    this.sharp = sharp;
  }

  get isShown(): boolean {
    return this.canvas?.style.visibility === 'visible';
  }

  /** @param size CSS px @param pixelRatio the screen's px for each of them @returns false when it would be no coarser */
  show(
    size: Size,
    pixelRatio: number,
    smooth: boolean,
    items: readonly OpenSeadragon.TiledImage[],
    drawer: OpenSeadragon.DrawerBase,
  ): boolean {
    const share = movingShare(size.width * size.height * pixelRatio ** 2);
    if (share === 1) return false;
    const ratio = pixelRatio * share;
    this.canvas ??= this.lay();
    const { canvas } = this;
    const context = canvas.getContext('2d');
    if (!context) return false;
    const width = Math.round(size.width * ratio);
    const height = Math.round(size.height * ratio);
    if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
    else context.clearRect(0, 0, width, height);
    context.imageSmoothingEnabled = smooth;
    for (const item of items) for (const { tile } of item.getTilesToDraw()) drawTile(context, tile, ratio, drawer);
    canvas.style.visibility = 'visible';
    this.sharp.style.visibility = 'hidden';
    return true;
  }

  hide(): void {
    if (!this.canvas) return;
    this.canvas.style.visibility = 'hidden';
    this.sharp.style.visibility = '';
  }

  private lay(): HTMLCanvasElement {
    const canvas = document.createElement('canvas');
    canvas.className = 'viewer-moving';
    this.sharp.after(canvas);
    return canvas;
  }
}

/** @param ratio px of the canvas for each CSS px */
function drawTile(
  context: CanvasRenderingContext2D,
  tile: OpenSeadragon.Tile,
  ratio: number,
  drawer: OpenSeadragon.DrawerBase,
): void {
  const drawn: unknown = drawer.getDataToDraw(tile);
  const { position, size } = tile;
  if (!(drawn instanceof CanvasRenderingContext2D) || !position || !size) return;
  const { width, height } = drawn.canvas;
  context.drawImage(
    drawn.canvas,
    0,
    0,
    Math.min(tile.sourceBounds.width, width),
    Math.min(tile.sourceBounds.height, height),
    position.x * ratio,
    position.y * ratio,
    size.x * ratio,
    size.y * ratio,
  );
}
