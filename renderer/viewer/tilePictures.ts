/**
 * Tiles as pictures that are decoded beside the page's own thread and given back as soon as the viewer lets go of them. Elements (`img`, and
 * the canvases that the engine copies them into) are decoded as they are drawn, and wait for the browser to collect them: 0.1 s at a stretch
 * for a hundred.
 */
import OpenSeadragon from 'openseadragon';

/** The engine's word. */
export const TILE_TYPE = 'imageBitmap';

type Source = Pick<OpenSeadragon.TileSource, 'downloadTileStart' | 'downloadTileAbort'>;

const onTheWay = new WeakMap<OpenSeadragon.ImageJob, AbortController>();

OpenSeadragon.converter.learnDestroy(TILE_TYPE, (picture: unknown) => {
  if (picture instanceof ImageBitmap) picture.close();
});

/** How a tile source gets its tiles. */
export const tilePictures: Source = {
  downloadTileStart(job) {
    const abort = new AbortController();
    onTheWay.set(job, abort);
    void pictureAt(job.src, abort.signal).then(
      (picture) => {
        if (abort.signal.aborted) picture.close();
        else job.finish(picture, null, TILE_TYPE);
      },
      (error: unknown) => {
        if (!abort.signal.aborted) job.fail(error instanceof Error ? error.message : String(error), null);
      },
    );
  },
  downloadTileAbort(job) {
    onTheWay.get(job)?.abort();
  },
};

/** What the drawer is given: the pictures as they are. */
export function drawPictures(drawer: OpenSeadragon.DrawerBase): void {
  Object.assign(drawer, { getSupportedDataFormats: () => [TILE_TYPE], getRequiredDataFormats: () => [TILE_TYPE] });
}

async function pictureAt(address: string, signal: AbortSignal): Promise<ImageBitmap> {
  const answer = await fetch(address, { signal });
  if (!answer.ok) {
    // Else its connection, of which there are few, waits for a reader.
    await answer.body?.cancel();
    throw new Error(`status ${answer.status}`);
  }
  return createImageBitmap(await answer.blob());
}
