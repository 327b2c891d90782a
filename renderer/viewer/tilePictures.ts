/**
 * Tiles as elements of the page: what composes the screen decodes them, puts them together and scales them in threads of its own, where a
 * canvas is drawn by the page's thread and copied by it in every frame that draws on it.
 */
import OpenSeadragon from 'openseadragon';
import { wakeFrames } from './engineFrames.ts';

/** The engine's word for what it holds of a tile. */
const TILE_TYPE = 'element';

type Source = Pick<OpenSeadragon.TileSource, 'downloadTileStart' | 'downloadTileAbort'>;

const onTheWay = new WeakMap<OpenSeadragon.ImageJob, HTMLImageElement>();

OpenSeadragon.converter.learnDestroy(TILE_TYPE, (picture: unknown) => {
  if (picture instanceof HTMLImageElement) letGo(picture);
});

/** How a tile source gets its tiles. */
export const tilePictures: Source = {
  downloadTileStart(job) {
    const picture = new Image();
    onTheWay.set(job, picture);
    // Else a frame may show the hole that it is to fill.
    picture.decoding = 'sync';
    picture.alt = '';
    picture.draggable = false;
    // With what of it is the scan's: a level's last pixels reach over its edge.
    picture.addEventListener('load', () => {
      wakeFrames();
      const { sourceBounds } = job.tile;
      const beyond = (of: number, px: number): string => `${Math.max(0, 100 * (1 - px / of))}%`;
      if (sourceBounds.width < picture.naturalWidth || sourceBounds.height < picture.naturalHeight) {
        const right = beyond(picture.naturalWidth, sourceBounds.width);
        const bottom = beyond(picture.naturalHeight, sourceBounds.height);
        picture.style.setProperty('object-view-box', `inset(0 ${right} ${bottom} 0)`);
      }
      job.finish(picture, null, TILE_TYPE);
    });
    picture.addEventListener('error', () => {
      wakeFrames();
      if (onTheWay.get(job) === picture) job.fail('the tile did not come', null);
    });
    picture.src = job.src;
  },
  downloadTileAbort(job) {
    const picture = onTheWay.get(job);
    onTheWay.delete(job);
    if (picture) letGo(picture);
  },
};

/** What the drawer is given: the pictures as they are. */
export function drawPictures(drawer: OpenSeadragon.DrawerBase): void {
  Object.assign(drawer, { getSupportedDataFormats: () => [TILE_TYPE], getRequiredDataFormats: () => [TILE_TYPE] });
}

/** Its memory too, rather than when the browser collects it; one that is on its way is no longer. */
function letGo(picture: HTMLImageElement): void {
  picture.remove();
  picture.removeAttribute('src');
}
