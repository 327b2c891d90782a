/** Marks on the page's own picture: an outline beside the ink, signs only where they fit into it. */
import { INK_MARKS } from '../../analysis/measure/ink.ts';
import { REVERSE_MARKS } from '../../analysis/measure/showThrough/reverseInput.ts';
import type { BoxPx } from '../scans/readScan.ts';
import { veilGhost } from './ghostVeil.ts';
import { bleedShapes, isInk, type Marks, signPlaces, signShapes } from './markShapes.ts';
import { blendPixel, type Picture } from './picture.ts';
import type { Rgb } from '../../analysis/colour/shown.ts';

const HATCH_PX = 5;

/** @param lineScale pixels to a point. @returns the signs as SVG shapes in points of the whole picture. */
export function drawPageMarks(
  page: { readonly picture: Picture; readonly scale: number },
  region: { readonly boxPx: BoxPx; readonly marks: Marks; readonly dpi: number },
  look: { readonly rgb: Rgb; readonly hex: string },
  lineScale: number,
): string {
  const { scale, picture } = page;
  const { marks, dpi } = region;
  const left = Math.floor(Math.max(0, region.boxPx[0]));
  const top = Math.floor(Math.max(0, region.boxPx[1]));
  const fromX = Math.floor(left * scale);
  const fromY = Math.floor(top * scale);
  const w = Math.ceil((left + marks.widthPx) * scale) - fromX;
  const h = Math.ceil((top + marks.heightPx) * scale) - fromY;
  const small = new Uint8Array(w * h);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++)
      small[y * w + x] = classOf(marks, (fromX + x) / scale - left, (fromY + y) / scale - top, 1 / scale);
  }
  const markAt = (x: number, y: number): number =>
    x < 0 || y < 0 || x >= w || y >= h ? INK_MARKS.none : small[y * w + x];
  for (let y = -1; y <= h; y++) {
    for (let x = -1; x <= w; x++) {
      const own = markAt(x, y);
      const beside = [markAt(x - 1, y), markAt(x + 1, y), markAt(x, y - 1), markAt(x, y + 1)];
      if (!isInk(own) && beside.some(isInk)) blendPixel(picture, fromX + x, fromY + y, look.rgb, 0.45);
      else if (own === INK_MARKS.doubleLayer && (x + y) % HATCH_PX === 0 && isWide(markAt, x, y)) {
        blendPixel(picture, fromX + x, fromY + y, look.rgb, 0.7);
      }
    }
  }
  const places = signPlaces(markAt, w, h, Math.round(16 * lineScale), Math.round(4 * lineScale));
  const moved = (list: readonly (readonly [number, number])[]) =>
    list.map(([x, y]) => [(fromX + x) / lineScale, (fromY + y) / lineScale] as const);
  veilGhost(picture, { data: small, columns: w, rows: h, fromX, fromY }, (dpi / 25.4) * scale, look.rgb);
  const perPoint = scale / lineScale;
  // Dots would only be dust here; the inset shows them.
  return (
    signShapes(
      { dark: moved(places.dark), light: moved(places.light), sheen: moved(places.sheen ?? []), between: [] },
      look.hex,
    ) + bleedShapes(marks, (x, y) => [(left + x) * perPoint, (top + y) * perPoint], perPoint, look.hex)
  );
}

/** Whether a hatch would still leave the ink to be seen. */
function isWide(markAt: (x: number, y: number) => number, x: number, y: number): boolean {
  return [-3, 3].every((d) => isInk(markAt(x + d, y)) && isInk(markAt(x, y + d)));
}

/** INK_MARKS and REVERSE_MARKS are numbers below this. */
const MARK_CLASSES = 16;

/** Of a cell, a quarter. */
const CORE_SHARE = 4;

/** The class that most pixels of a cell have; ink when half of the cell is ink. */
function classOf(marks: Marks, x: number, y: number, cell: number): number {
  const fromX = Math.max(0, Math.floor(x + 1e-6));
  const fromY = Math.max(0, Math.floor(y + 1e-6));
  const toX = Math.min(marks.widthPx, Math.max(fromX + 1, Math.floor(x + cell + 1e-6)));
  const toY = Math.min(marks.heightPx, Math.max(fromY + 1, Math.floor(y + cell + 1e-6)));
  const counts = Array.from({ length: MARK_CLASSES }, () => 0);
  for (let v = fromY; v < toY; v++) for (let u = fromX; u < toX; u++) counts[marks.data[v * marks.widthPx + u]]++;
  const all = counts.reduce((a, b) => a + b, 0);
  if (all === 0 || 2 * counts[INK_MARKS.none] > all) return INK_MARKS.none;
  // A line's middle third is narrower than a cell of a page made small, and still is to be seen.
  if (CORE_SHARE * counts[REVERSE_MARKS.behindCore] >= all) return REVERSE_MARKS.behindCore;
  counts[INK_MARKS.none] = -1;
  return counts.indexOf(Math.max(...counts));
}
