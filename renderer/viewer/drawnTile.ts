/** A tile that has come, and which part of the scan it shows. */
import OpenSeadragon from 'openseadragon';

export interface DrawnTile {
  readonly element: HTMLImageElement;
  /** Over those of a lower one. */
  readonly layer: number;
  /** Scan px. */
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** More than a scan has. */
const MOST_LEVELS = 100;

/** @param widthPx the scan's */
export function drawnTiles(
  items: readonly OpenSeadragon.TiledImage[],
  drawer: OpenSeadragon.DrawerBase,
  widthPx: number,
): DrawnTile[] {
  return items.flatMap((item, i) =>
    item.getTilesToDraw().flatMap(({ tile }): DrawnTile | [] => {
      const element: unknown = drawer.getDataToDraw(tile);
      if (!(element instanceof HTMLImageElement)) return [];
      const { x, y, width, height } = tile.bounds;
      return {
        element,
        layer: i * MOST_LEVELS + tile.level,
        left: x * widthPx,
        top: y * widthPx,
        right: (x + width) * widthPx,
        bottom: (y + height) * widthPx,
      };
    }),
  );
}
