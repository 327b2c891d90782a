/** OpenSeadragon behind one small face: a scan's tiles in an element, its view in scan px. */
import OpenSeadragon from 'openseadragon';

import { letFramesRest, wakeFrames } from './engineFrames.ts';
import { watchSize } from './newSizes.ts';
import { askStraightBoxes } from './straightBoxes.ts';
import { TileDrawing } from './tileDrawing.ts';
import { drawPictures, tilePictures } from './tilePictures.ts';
import { viewerLog } from './viewerLog.ts';
import { fittingView, isSameView, viewPlace } from './viewPlace.ts';
import type { Size, View, ViewPlace } from './viewPlace.ts';
import type { ViewPointer, ViewTool } from './viewTool.ts';

export interface DeepZoomScan {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly tileSize: number;
  readonly levels: number;
}

export type TileAddress = (level: number, column: number, row: number) => string;

export interface DeepZoomListeners {
  /** The first view once the element has a size. */
  firstView(size: Size): View;
  /** At every frame that shows another view. */
  viewed(place: ViewPlace): void;
  /** A move begins or has come to rest. */
  moving(moving: boolean): void;
  /** A person zoomed or panned here, rather than a linked viewer. */
  steered(place: ViewPlace, before: ViewPlace): void;
  /** The element has another size; the middle and the scale are as before. */
  resized(): void;
  /** Whether the tiles that are drawn cover all of the scan that is in view. */
  covered(isCovered: boolean): void;
  /** A tile did not come: what is seen there is a coarser one, or the overview. */
  lost(): void;
  tool(): ViewTool | null;
}

Object.assign(OpenSeadragon, { console: viewerLog() });
askStraightBoxes();
letFramesRest();

/** Beyond this a scan's pixel says no more. CSS px for each scan px. */
const MOST_SCREEN_PER_PX = 48;
/** From here on pixels are shown as squares. */
const SQUARES_FROM = 2;
const ZOOM_STEP = 1.25;
/** While the page around it is still being drawn, over an overview that is there already. */
const TILES_AT_FIRST = 1;
/** A browser opens six connections to a server; the stream of events and what a person asks for need theirs. */
const TILES_AT_ONCE = 3;

export class DeepZoom {
  private readonly viewer: OpenSeadragon.Viewer;
  private readonly scan: DeepZoomScan;
  private readonly on: DeepZoomListeners;
  private readonly host: HTMLElement;
  private readonly abort = new AbortController();
  private current: ViewPlace | null = null;
  private following = 0;
  private toolDrags = false;
  private image: OpenSeadragon.TiledImage | null = null;
  private destroyed = false;
  private readonly unwatchSize: () => void;
  private readonly drawing: TileDrawing;
  /** Whether the running move is the person's, rather than a resize's or a linked viewer's. */
  private steering = false;

  constructor(host: HTMLElement, scan: DeepZoomScan, on: DeepZoomListeners) {
    this.host = host;
    this.scan = scan;
    this.on = on;
    const still = matchMedia('(prefers-reduced-motion: reduce)').matches;
    this.viewer = new OpenSeadragon.Viewer({
      element: host,
      drawer: 'canvas',
      tabIndex: -1,
      keyboardNavEnabled: false,
      showNavigationControl: false,
      showNavigator: false,
      preserveViewport: true,
      // It takes a new size a frame late, and asks for it while the first frame is still to be laid out.
      autoResize: false,
      visibilityRatio: 0.1,
      minZoomImageRatio: 0.02,
      maxZoomPixelRatio: MOST_SCREEN_PER_PX,
      immediateRender: true,
      // Else tiles are enlarged by way of a second canvas, smoothly.
      smoothTileEdgesMinZoom: Infinity,
      blendTime: 0,
      animationTime: still ? 0 : 0.25,
      springStiffness: 10,
      zoomPerScroll: ZOOM_STEP,
      imageLoaderLimit: TILES_AT_FIRST,
      maxImageCacheCount: 300,
      gestureSettingsMouse: { clickToZoom: false, dblClickToZoom: false, flickEnabled: false },
      gestureSettingsTouch: { clickToZoom: false, dblClickToZoom: false, flickEnabled: false },
      gestureSettingsPen: { clickToZoom: false, dblClickToZoom: false, flickEnabled: false },
    });
    drawPictures(this.viewer.drawer);
    this.drawing = new TileDrawing(
      this.viewer,
      scan.widthPx,
      () => this.placeNow(),
      (isCovered) => on.covered(isCovered),
    );
    this.viewer.addHandler('update-viewport', () => this.look());
    this.viewer.addHandler('tile-load-failed', () => this.on.lost());
    this.viewer.addHandler('animation-start', () => this.on.moving(true));
    this.viewer.addHandler('animation-finish', () => {
      this.look();
      this.steering = false;
      this.on.moving(false);
    });
    const steer = (): void => {
      this.hasten();
      this.steering = true;
    };
    this.viewer.addHandler('canvas-scroll', steer);
    this.viewer.addHandler('canvas-drag', steer);
    this.viewer.addHandler('canvas-pinch', steer);
    this.listenToPointer();
    let isNew = false;
    this.unwatchSize = watchSize(host, {
      takeSize: () => {
        isNew = this.takeSize();
      },
      settle: () => {
        if (isNew && this.current) this.on.resized();
      },
      draw: (turn) => {
        if (isNew) this.drawing.drawSoon(turn);
        isNew = false;
      },
    });
  }

  /** Null until the element has a size and the tiles are known. */
  get place(): ViewPlace | null {
    return this.current;
  }

  /** Other tiles of the same scan: they come over those that are shown, which go once all in view are there. */
  setTiles(address: TileAddress): void {
    wakeFrames();
    const { widthPx, heightPx, tileSize, levels } = this.scan;
    this.viewer.addTiledImage({
      tileSource: {
        width: widthPx,
        height: heightPx,
        tileSize,
        tileOverlap: 0,
        minLevel: 0,
        maxLevel: levels - 1,
        getTileUrl: address,
        ...tilePictures,
      },
      success: (event) => {
        if (this.destroyed || !(event instanceof Object) || !('item' in event)) return;
        const item = event.item;
        if (!(item instanceof OpenSeadragon.TiledImage)) return;
        this.image = item;
        item.whenFullyLoaded(() => {
          this.hasten();
          this.clearUnder(item);
        });
        this.placeFirst();
        // Which tiles: in this task, rather than on top of the frame that comes next. What has come already is drawn there.
        this.viewer.world.update(true);
      },
    });
  }

  goTo(view: View): void {
    this.hasten();
    this.steering = true;
    this.set(view, false);
  }

  /** Takes a view because another viewer did: nobody is told that this one was steered. */
  follow(view: View): void {
    this.following++;
    this.set(view, true);
    this.following--;
    this.steering = false;
  }

  /** CSS px. */
  panBy(x: number, y: number): void {
    const aim = this.aim();
    if (aim) this.goTo({ ...aim, x: aim.x + x / aim.screenPerPx, y: aim.y + y / aim.screenPerPx });
  }

  zoomBy(steps: number): void {
    const aim = this.aim();
    if (!aim) return;
    const screenPerPx = Math.min(MOST_SCREEN_PER_PX, aim.screenPerPx * ZOOM_STEP ** steps);
    this.goTo({ ...aim, screenPerPx });
  }

  fittingView(): View | null {
    const size = this.size();
    return size.width > 0 ? fittingView({ width: this.scan.widthPx, height: this.scan.heightPx }, size) : null;
  }

  fit(): void {
    const whole = this.fittingView();
    if (whole) this.goTo(whole);
  }

  destroy(): void {
    this.destroyed = true;
    this.drawing.end();
    this.unwatchSize();
    this.abort.abort();
    this.viewer.destroy();
  }

  private set(view: View, immediately: boolean): void {
    wakeFrames();
    const size = this.size();
    if (!this.image || size.width === 0) return;
    const { viewport } = this.viewer;
    viewport.zoomTo((view.screenPerPx * this.scan.widthPx) / size.width, undefined, immediately);
    viewport.panTo(new OpenSeadragon.Point(view.x / this.scan.widthPx, view.y / this.scan.widthPx), immediately);
    if (immediately) this.look();
  }

  private size(): Size {
    const { x, y } = this.viewer.viewport.getContainerSize();
    return { width: x, height: y };
  }

  private viewNow(current: boolean): View | null {
    const size = this.size();
    if (!this.image || size.width === 0 || size.height === 0) return null;
    const centre = this.viewer.viewport.getCenter(current);
    const screenPerPx = (this.viewer.viewport.getZoom(current) * size.width) / this.scan.widthPx;
    return { x: centre.x * this.scan.widthPx, y: centre.y * this.scan.widthPx, screenPerPx };
  }

  private placeNow(): ViewPlace | null {
    const view = this.viewNow(true);
    return view && viewPlace(view, this.size());
  }

  /** From the first move on, or once all is seen. */
  private hasten(): void {
    this.viewer.imageLoader.jobLimit = TILES_AT_ONCE;
    this.drawing.hasten();
  }

  /** The middle and the scale stay. @returns whether it is another size */
  private takeSize(): boolean {
    const { viewport } = this.viewer;
    // The engine divides by it.
    const size = new OpenSeadragon.Point(this.host.clientWidth || 1, this.host.clientHeight || 1);
    if (viewport.getContainerSize().equals(size)) return false;
    const view = this.viewNow(true);
    viewport.resize(size, false);
    if (view) this.set(view, true);
    else this.look();
    return true;
  }

  /** Takes away what newer tiles have come over. */
  private clearUnder(item: OpenSeadragon.TiledImage): void {
    if (this.destroyed || this.image !== item) return;
    for (const other of this.drawing.items()) if (other !== item) this.viewer.world.removeItem(other);
  }

  /** Where the running animation leads. */
  private aim(): View | null {
    return this.viewNow(false);
  }

  private placeFirst(): void {
    const size = this.size();
    if (this.current || size.width === 0 || size.height === 0) return;
    this.follow(this.on.firstView(size));
  }

  private look(): void {
    if (this.destroyed) return;
    if (!this.current && this.following === 0) this.placeFirst();
    const view = this.viewNow(true);
    if (!view) return;
    const size = this.size();
    const before = this.current;
    const resized = before !== null && (before.size.width !== size.width || before.size.height !== size.height);
    if (before && !resized && isSameView(before.view, view)) return;
    const place = viewPlace(view, size);
    this.current = place;
    this.drawing.setSmooth(view.screenPerPx * devicePixelRatio < SQUARES_FROM);
    this.on.viewed(place);
    if (before && !resized && this.steering && this.following === 0) this.on.steered(place, before);
  }

  private listenToPointer(): void {
    const { viewer } = this;
    viewer.addHandler('canvas-press', (event) => {
      const pointer = this.pointerAt(event.position, event.originalEvent);
      this.toolDrags = pointer !== null && (this.on.tool()?.press?.(pointer) ?? false);
    });
    viewer.addHandler('canvas-drag', (event) => {
      if (!this.toolDrags) return;
      event.preventDefaultAction = true;
      const pointer = this.pointerAt(event.position, event.originalEvent);
      if (pointer) this.on.tool()?.drag?.(pointer);
    });
    viewer.addHandler('canvas-release', (event) => {
      if (!this.toolDrags) return;
      this.toolDrags = false;
      const pointer = this.pointerAt(event.position, event.originalEvent);
      if (pointer) this.on.tool()?.release?.(pointer);
    });
    let taken = false;
    viewer.addHandler('canvas-press', () => {
      taken = this.toolDrags;
    });
    viewer.addHandler('canvas-click', (event) => {
      if (!event.quick || taken) return;
      const pointer = this.pointerAt(event.position, event.originalEvent);
      if (pointer) this.on.tool()?.click?.(pointer);
    });
    const { signal } = this.abort;
    this.host.addEventListener(
      'pointermove',
      (event) => {
        // Asked before it is known to be wanted, its place has the engine lay out what a drag has just drawn.
        if (event.buttons !== 0) return;
        const { left, top } = this.host.getBoundingClientRect();
        const pointer = this.pointerAt({ x: event.clientX - left, y: event.clientY - top }, event);
        if (!pointer) return;
        const tool = this.on.tool();
        tool?.move?.(pointer);
        this.host.style.cursor = tool?.cursor?.(pointer) ?? '';
      },
      { signal },
    );
    this.host.addEventListener('pointerleave', () => this.on.tool()?.move?.(null), { signal });
  }

  private pointerAt(at: { readonly x: number; readonly y: number }, event: Event): ViewPointer | null {
    const place = this.current;
    if (!place) return null;
    const keys = event instanceof MouseEvent ? event : null;
    return {
      scan: place.toScan([at.x, at.y]),
      screen: [at.x, at.y],
      shift: keys?.shiftKey ?? false,
      alt: keys?.altKey ?? false,
      place,
    };
  }
}
