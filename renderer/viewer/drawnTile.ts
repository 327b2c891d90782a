/** A tile that has come, and where it lies in the view. */
import type OpenSeadragon from 'openseadragon';

export interface DrawnTile {
  readonly key: string;
  readonly picture: ImageBitmap;
  /** What of the picture is the scan's, px. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** CSS px. */
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** In the order in which they lie over each other. */
export function drawnTiles(items: readonly OpenSeadragon.TiledImage[], drawer: OpenSeadragon.DrawerBase): DrawnTile[] {
  return items.flatMap((item) => item.getTilesToDraw().flatMap(({ tile }) => drawnTile(tile, drawer) ?? []));
}

function drawnTile(tile: OpenSeadragon.Tile, drawer: OpenSeadragon.DrawerBase): DrawnTile | null {
  const drawn: unknown = drawer.getDataToDraw(tile);
  const { position, size } = tile;
  if (!(drawn instanceof ImageBitmap) || !position || !size) return null;
  return {
    key: tile.cacheKey,
    picture: drawn,
    widthPx: Math.min(tile.sourceBounds.width, drawn.width),
    heightPx: Math.min(tile.sourceBounds.height, drawn.height),
    left: position.x,
    top: position.y,
    width: size.x,
    height: size.y,
  };
}

/** @param ratio px of the canvas for each CSS px @param left px of the canvas that lie before it, as `top` */
export function drawTile(
  context: CanvasRenderingContext2D,
  tile: DrawnTile,
  ratio: number,
  { left, top }: { readonly left: number; readonly top: number } = { left: 0, top: 0 },
): void {
  const { picture, widthPx, heightPx } = tile;
  context.drawImage(
    picture,
    0,
    0,
    widthPx,
    heightPx,
    tile.left * ratio - left,
    tile.top * ratio - top,
    tile.width * ratio,
    tile.height * ratio,
  );
}
