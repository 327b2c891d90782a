/**
 * The scan while its view moves: drawn of fewer pixels on a canvas of its own, under the sharp one, which is not touched meanwhile. A
 * canvas is copied in every frame that draws on it: 10 MB of a large screen took the page's thread 18 ms.
 */
import { type DrawnTile, drawTile } from './drawnTile.ts';
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
  private readonly host: HTMLElement;
  private canvas: HTMLCanvasElement | null = null;

  /** @param host its first child is the picture */
  constructor(host: HTMLElement) {
    this.host = host;
  }

  /** @param size CSS px @param pixelRatio the screen's px for each of them @returns false when it would be no coarser */
  show(size: Size, pixelRatio: number, smooth: boolean, tiles: readonly DrawnTile[]): boolean {
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
    for (const tile of tiles) drawTile(context, tile, ratio);
    canvas.style.visibility = 'visible';
    return true;
  }

  hide(): void {
    if (this.canvas) this.canvas.style.visibility = 'hidden';
  }

  end(): void {
    if (this.canvas) this.canvas.width = 0;
    this.canvas = null;
  }

  private lay(): HTMLCanvasElement {
    const canvas = document.createElement('canvas');
    canvas.className = 'viewer-moving';
    this.host.prepend(canvas);
    return canvas;
  }
}
