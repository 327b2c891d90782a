/** When the tiles of a view are drawn, and how finely: one that moves is drawn of fewer pixels, and sharply once it rests. */
import OpenSeadragon from 'openseadragon';
import { afterFrames } from '../look/afterFrames.ts';
import { drawnTiles } from './drawnTile.ts';
import { MovingPicture } from './movingPicture.ts';
import { SharpPicture } from './sharpPicture.ts';
import { isSameView, type ViewPlace } from './viewPlace.ts';

/** From one drawing of tiles that came to the next: at first, and once a person moves the view. */
const TOGETHER_AT_FIRST_MS = 150;
const TOGETHER_MS = 30;
/** After the frame that lays out a new size, the picture is drawn for it. */
const FRAMES_LATER = 4;
/** The frame in which a move ends gives the marks back their weight. */
const FRAMES_AT_REST = 2;

export class TileDrawing {
  private readonly viewer: OpenSeadragon.Viewer;
  private readonly placeNow: () => ViewPlace | null;
  private readonly onCovered: (isCovered: boolean) => void;
  private readonly sharpPicture: SharpPicture;
  private readonly movingPicture: MovingPicture;
  /** Tells the engine that what there is has been drawn. */
  private readonly drawn: () => void;
  /** A drawing for a new size that is still to come, one for a view that has come to rest, and the next part of one. */
  private callOff = (): void => {};
  private callOffSharp = (): void => {};
  private callOffPart = (): void => {};
  private smooth = true;
  private togetherMs = TOGETHER_AT_FIRST_MS;
  private drawnPlace: ViewPlace | null = null;
  private moving = false;
  /** What is seen was drawn of fewer pixels. */
  private coarse = false;
  private isBare = true;
  /** The one that drew a part of a view at rest, ms: tiles that come ask for several drawings in one. */
  private partFrame: CSSNumberish | null = null;

  /** @param onCovered told with every drawing whether what is drawn covers all of the scan that is in view */
  constructor(viewer: OpenSeadragon.Viewer, placeNow: () => ViewPlace | null, onCovered: (isCovered: boolean) => void) {
    this.viewer = viewer;
    this.placeNow = placeNow;
    this.onCovered = onCovered;
    const { world, drawer } = viewer;
    // The engine's own canvas is one for the whole view.
    drawer.canvas.style.display = 'none';
    Object.assign(drawer, { draw: () => {} });
    const pictures = document.createElement('div');
    pictures.className = 'viewer-pictures';
    drawer.canvas.after(pictures);
    this.sharpPicture = new SharpPicture(pictures);
    this.movingPicture = new MovingPicture(pictures);
    this.drawn = world.draw.bind(world);
    world.draw = () => this.drawAsItMoves();
    viewer.addHandler('animation-start', () => this.move());
    viewer.addHandler('animation-finish', () => this.rest());
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
    const { viewport, world } = this.viewer;
    // Else the next frame takes it for a move, fades the marks and draws all of it once more.
    viewport.update();
    const place = this.placeNow();
    if (place) this.sharpPicture.hold(place);
    this.onCovered(false);
    this.callOffPart();
    this.callOff();
    this.callOff = afterFrames(FRAMES_LATER + turn, () => {
      world.update(true);
      world.draw();
    });
  }

  /** Draws the frame again, so only when it changes. */
  setSmooth(smooth: boolean): void {
    if (smooth === this.smooth) return;
    this.smooth = smooth;
    this.viewer.drawer.setImageSmoothingEnabled(smooth);
  }

  items(): OpenSeadragon.TiledImage[] {
    const { world } = this.viewer;
    return Array.from({ length: world.getItemCount() }, (_, i) => world.getItemAt(i));
  }

  end(): void {
    this.callOff();
    this.callOffSharp();
    this.callOffPart();
    this.sharpPicture.end();
    this.movingPicture.end();
  }

  private drawAsItMoves(): void {
    // It is about to be drawn sharply.
    if (this.coarse && !this.moving) return;
    const place = this.placeNow();
    const items = this.items();
    const tiles = drawnTiles(items, this.viewer.drawer);
    if (!place || (this.isBare && tiles.length === 0)) return;
    this.isBare = false;
    this.callOffPart();
    const isLoaded = items.at(-1)?.getFullyLoaded() ?? false;
    if (!isLoaded) this.onCovered(false);
    const { pixelDensityRatio } = OpenSeadragon;
    const moves = this.moving && (this.coarse || !isSame(place, this.drawnPlace));
    this.drawnPlace = place;
    this.coarse = moves && this.movingPicture.show(place.size, pixelDensityRatio, this.smooth, tiles);
    if (this.coarse) {
      this.sharpPicture.hide();
      this.onCovered(isLoaded);
      return;
    }
    const { currentTime } = document.timeline;
    const isNextDue = !moves && currentTime !== null && currentTime === this.partFrame;
    this.partFrame = currentTime;
    if (isNextDue || !this.sharpPicture.draw(place, pixelDensityRatio, this.smooth, tiles)) {
      this.callOffPart = afterFrames(1, () => this.drawAsItMoves());
      return;
    }
    this.movingPicture.hide();
    this.onCovered(isLoaded);
    this.drawn();
  }

  private move(): void {
    this.moving = true;
    this.callOffSharp();
    this.callOffPart();
  }

  private rest(): void {
    this.moving = false;
    if (!this.coarse) return;
    this.callOffSharp = afterFrames(FRAMES_AT_REST, () => {
      this.coarse = false;
      this.viewer.forceRedraw();
    });
  }

  /** While tiles come, all is drawn again in every frame: a view that does not move waits a moment for several of them. */
  private drawTogether(): void {
    const { world } = this.viewer;
    const needsDraw = world.needsDraw.bind(world);
    let drawn = 0;
    world.needsDraw = () => {
      const now = performance.now();
      if (now - drawn < this.togetherMs || !needsDraw()) return false;
      drawn = now;
      return true;
    };
  }
}

function isSame(p: ViewPlace | null, q: ViewPlace | null): boolean {
  return p !== null && q !== null && isSameView(p.view, q.view);
}
