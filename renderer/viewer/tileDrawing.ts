/** When the tiles of a view are drawn, and how finely: one that moves is drawn of fewer pixels, and sharply once it rests. */
import OpenSeadragon from 'openseadragon';
import { afterFrames } from './afterFrames.ts';
import { HeldPicture } from './heldPicture.ts';
import { MovingPicture } from './movingPicture.ts';
import { isSameView, type Size, type ViewPlace } from './viewPlace.ts';

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
  private readonly picture: HeldPicture;
  private readonly movingPicture: MovingPicture;
  private readonly draw: () => void;
  /** A drawing for a new size that is still to come, and one for a view that has come to rest. */
  private callOff = (): void => {};
  private callOffSharp = (): void => {};
  private smooth = true;
  private togetherMs = TOGETHER_AT_FIRST_MS;
  private drawnPlace: ViewPlace | null = null;
  private moving = false;
  /** What is seen was drawn of fewer pixels. */
  private coarse = false;
  private isBare = true;

  constructor(viewer: OpenSeadragon.Viewer, placeNow: () => ViewPlace | null) {
    this.viewer = viewer;
    this.placeNow = placeNow;
    this.picture = new HeldPicture(viewer.drawer.canvas);
    this.movingPicture = new MovingPicture(viewer.drawer.canvas);
    const { world } = viewer;
    this.draw = world.draw.bind(world);
    world.draw = () => this.drawAsItMoves();
    viewer.addHandler('animation-start', () => this.move());
    viewer.addHandler('animation-finish', () => this.rest());
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
    if (place) this.picture.hold(place);
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
  }

  private drawAsItMoves(): void {
    // A canvas that nothing was drawn on is not copied to the screen, some MB in the frame that lays out the page around it.
    if (this.isBare && !this.items().some((item) => item.getTilesToDraw().length > 0)) return;
    this.isBare = false;
    // It is about to be drawn sharply.
    if (this.coarse && !this.moving) return;
    const place = this.placeNow();
    const moves = this.moving && (this.coarse || !isSame(place, this.drawnPlace));
    this.drawnPlace = place;
    this.coarse = moves && place !== null && this.drawMoving(place.size);
    if (this.coarse) return;
    this.picture.draws(place);
    this.draw();
    this.movingPicture.hide();
  }

  private drawMoving(size: Size): boolean {
    const { pixelDensityRatio } = OpenSeadragon;
    return this.movingPicture.show(size, pixelDensityRatio, this.smooth, this.items(), this.viewer.drawer);
  }

  private move(): void {
    this.moving = true;
    this.callOffSharp();
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
