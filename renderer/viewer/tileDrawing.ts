/** When the tiles of a view are laid where they belong: one that moves carries them along, one that rests has them on whole pixels. */
import OpenSeadragon from 'openseadragon';
import { afterFrames } from '../look/afterFrames.ts';
import { drawnTiles } from './drawnTile.ts';
import { LaidTiles } from './laidTiles.ts';
import type { ViewPlace } from './viewPlace.ts';

/** From one drawing of tiles that came to the next: at first, and once a person moves the view. */
const TOGETHER_AT_FIRST_MS = 150;
const TOGETHER_MS = 30;
/** Even when none has come: one may have failed. */
const LOOK_AGAIN_MS = 250;
/** After the frame that lays out a new size, the picture is drawn for it. */
const FRAMES_LATER = 4;
/** The frame in which a move ends gives the marks back their weight. */
const FRAMES_AT_REST = 2;

export class TileDrawing {
  private readonly viewer: OpenSeadragon.Viewer;
  private readonly widthPx: number;
  private readonly placeNow: () => ViewPlace | null;
  private readonly onCovered: (isCovered: boolean) => void;
  private readonly laid: LaidTiles;
  /** Tells the engine that what there is has been drawn. */
  private readonly drawn: () => void;
  /** A drawing for a new size that is still to come, and one for a view that has come to rest. */
  private callOff = (): void => {};
  private smooth = true;
  private togetherMs = TOGETHER_AT_FIRST_MS;
  /** What is seen was laid for another view. */
  private carried = false;
  private moving = false;
  private isBare = true;

  /**
   * @param widthPx the scan's
   * @param onCovered told with every drawing whether what is drawn covers all of the scan that is in view
   */
  constructor(
    viewer: OpenSeadragon.Viewer,
    widthPx: number,
    placeNow: () => ViewPlace | null,
    onCovered: (isCovered: boolean) => void,
  ) {
    this.viewer = viewer;
    this.widthPx = widthPx;
    this.placeNow = placeNow;
    this.onCovered = onCovered;
    const { world, drawer } = viewer;
    // The engine's own canvas is drawn and copied by the page's thread.
    drawer.canvas.style.display = 'none';
    Object.assign(drawer, { draw: () => {} });
    const pictures = document.createElement('div');
    pictures.className = 'viewer-pictures';
    drawer.canvas.after(pictures);
    this.laid = new LaidTiles(pictures);
    this.drawn = world.draw.bind(world);
    world.draw = () => this.draw();
    viewer.addHandler('animation-start', () => {
      this.moving = true;
      this.callOff();
    });
    viewer.addHandler('animation-finish', () => {
      this.moving = false;
      if (this.carried) this.restIn(FRAMES_AT_REST);
    });
    // The last tile may have been drawn before the engine knew that it was the last.
    viewer.addHandler('fully-loaded-change', ({ fullyLoaded }) => {
      if (fullyLoaded) this.viewer.forceRedraw();
    });
    this.drawTogether();
  }

  /** From the first move on, or once all is seen. */
  hasten(): void {
    this.togetherMs = TOGETHER_MS;
  }

  /**
   * For a new size, some frames later, for plots beside it take the next ones, and of several views each takes one. Until then what is
   * drawn keeps its place on the scan, and the overview lies under it.
   */
  drawSoon(turn: number): void {
    const { viewport } = this.viewer;
    // Else the next frame takes it for a move, fades the marks and draws all of it once more.
    viewport.update();
    const place = this.placeNow();
    if (place) this.laid.hold(place);
    this.onCovered(false);
    this.carried = true;
    this.restIn(FRAMES_LATER + turn);
  }

  /** Draws the frame again, so only when it changes. */
  setSmooth(smooth: boolean): void {
    if (smooth === this.smooth) return;
    this.smooth = smooth;
    this.laid.setSmooth(smooth);
  }

  items(): OpenSeadragon.TiledImage[] {
    const { world } = this.viewer;
    return Array.from({ length: world.getItemCount() }, (_, i) => world.getItemAt(i));
  }

  end(): void {
    this.callOff();
  }

  private restIn(frames: number): void {
    this.callOff();
    this.callOff = afterFrames(frames, () => {
      this.carried = false;
      this.viewer.world.update(true);
      this.viewer.world.draw();
    });
  }

  private draw(): void {
    const place = this.placeNow();
    const items = this.items();
    const tiles = drawnTiles(items, this.viewer.drawer, this.widthPx);
    if (!place || (this.isBare && tiles.length === 0)) return;
    this.isBare = false;
    const { pixelDensityRatio } = OpenSeadragon;
    if (this.moving) this.carried = true;
    if (this.carried) this.laid.carry(place, pixelDensityRatio, tiles);
    else this.laid.lay(place, pixelDensityRatio, tiles);
    this.onCovered(items.at(-1)?.getFullyLoaded() ?? false);
    this.drawn();
  }

  /**
   * While tiles come, the engine would look through all of them and draw all again in every frame: a view that does not move waits a
   * moment for several of them, and is not looked through until then, unless there are more to be asked for.
   */
  private drawTogether(): void {
    const { world, imageLoader } = this.viewer;
    const needsDraw = world.needsDraw.bind(world);
    const update = world.update.bind(world);
    const asked = (): number => imageLoader.jobQueue.length + imageLoader.jobsInProgress;
    let drawn = 0;
    let updated = 0;
    let asking = true;
    const isSoon = (): boolean => performance.now() - drawn < this.togetherMs;
    const isIdle = (): boolean => !needsDraw() && performance.now() - updated < LOOK_AGAIN_MS;
    world.addHandler('add-item', () => {
      asking = true;
    });
    world.update = (viewChanged) => {
      if (!viewChanged && !asking && (isSoon() || isIdle())) return false;
      updated = performance.now();
      const before = asked();
      const isAnimated = update(viewChanged);
      asking = asked() > before;
      return isAnimated;
    };
    world.needsDraw = () => {
      if (isSoon() || !needsDraw()) return false;
      drawn = performance.now();
      return true;
    };
  }
}
