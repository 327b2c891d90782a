/** What is seen of a scan, against the scan's own pixels and the marks that lie over it. */
import type { Page } from 'playwright-core';
import sharp from 'sharp';

/**
 * Of a scan that is seen at a px of the screen for each of its own, marks hidden: how many pixels are in view, how many of them were
 * compared, and how many are not exactly the scan's.
 */
export async function pixelsSeen(page: Page): Promise<Record<'inView' | 'compared' | 'off', number>> {
  await page.keyboard.down('h');
  const { data: seen, info } = await pixelsOf(await page.screenshot());
  await page.keyboard.up('h');
  const picture = page.locator('.viewer-picture').first();
  const tiles = await picture
    .locator('.viewer-pictures img')
    .evaluateAll((all) =>
      all.map((tile) => ({ address: tile.getAttribute('src') ?? '', box: tile.getBoundingClientRect() })),
    );
  const view = wholePx(await picture.evaluate((element) => element.getBoundingClientRect()));
  let [compared, off] = [0, 0];
  for (const { address, box } of tiles) {
    const { left, top, right } = wholePx(box);
    const answer = await page.request.get(new URL(address, page.url()).href);
    const tile = await pixelsOf(await answer.body());
    // One of a coarser level, under those that count.
    if (tile.info.width !== right - left) continue;
    for (let y = Math.max(view.top, top); y < Math.min(view.bottom, top + tile.info.height); y++) {
      for (let x = Math.max(view.left, left); x < Math.min(view.right, left + tile.info.width); x++) {
        const [i, k] = [3 * (y * info.width + x), 3 * ((y - top) * tile.info.width + x - left)];
        compared++;
        if ([0, 1, 2].some((c) => seen[i + c] !== tile.data[k + c])) off++;
      }
    }
  }
  return { inView: (view.right - view.left) * (view.bottom - view.top), compared, off };
}

type Edges = Readonly<Record<'left' | 'top' | 'right' | 'bottom', number>>;

/** As the browser draws what lies between two pixels. */
function wholePx({ left, top, right, bottom }: Edges): Edges {
  return { left: Math.round(left), top: Math.round(top), right: Math.round(right), bottom: Math.round(bottom) };
}

async function pixelsOf(picture: Buffer) {
  return sharp(picture).removeAlpha().raw().toBuffer({ resolveWithObject: true });
}

/** Begins to look, in every frame, where the tiles lie and where the marks over them have the scan. */
export async function watchTiles(page: Page, levels: number, tilePx: number): Promise<void> {
  await page.evaluate(
    ({ finest, side }) => {
      const look = (): void => {
        const picture = document.querySelector('.viewer-picture');
        const marks = picture?.querySelector<SVGGElement>('.viewer-marks > g');
        if (!picture || !marks) throw new Error('no scan is in view');
        const from = picture.getBoundingClientRect();
        const { a: scale, e, f } = marks.transform.baseVal.getItem(0).matrix;
        const tiles = [...picture.querySelectorAll('.viewer-pictures img')];
        const off = tiles.flatMap((tile) => {
          const [level, column, row] = (tile.getAttribute('src') ?? '').split('/').slice(-3).map(Number);
          const { left, top } = tile.getBoundingClientRect();
          const px = scale * side * 2 ** (finest - level);
          return [left - from.left - (e + px * column), top - from.top - (f + px * row)];
        });
        performance.mark('tiles', { detail: { scale, off: Math.max(...off.map(Math.abs)) } });
        requestAnimationFrame(look);
      };
      requestAnimationFrame(look);
    },
    { finest: levels - 1, side: tilePx },
  );
}

/** @returns what `watchTiles` saw: the scales, CSS px for each px of the scan, and how far off the farthest tile lay, CSS px */
export async function tilesWatched(page: Page): Promise<{ readonly scales: number; readonly off: number }> {
  return page.evaluate(() => {
    const seen = performance.getEntriesByName('tiles').map((mark) => ('detail' in mark ? mark.detail : null));
    const known = seen.filter(
      (one): one is { scale: number; off: number } => one instanceof Object && 'scale' in one && 'off' in one,
    );
    return { scales: new Set(known.map(({ scale }) => scale)).size, off: Math.max(...known.map(({ off }) => off)) };
  });
}
