/** Even pieces of a picture with the shape of a patch: what a grid of patches is put together from. */
import { type Component, components } from '../../raster/components.ts';
import type { ColourRaster } from './colourRaster.ts';

export interface Cell {
  readonly x: number;
  readonly y: number;
  readonly areaPx: number;
  /** Square root of the area. */
  readonly sidePx: number;
}

/** Even is what rises by less than so many times the picture's own calm, per px: patches that differ little part at the lowest only. */
const STEPS = [1, 2, 4];
/** Coded values a pixel; calmer pictures are not sharper to the eye. */
const LEAST_RISE = 0.006;
/** The calm of a picture: this quantile of its rises, times so much, is above nearly all of its noise. */
const CALM_QUANTILE = 0.4;
const CALM_TIMES = 2.4;
const LEAST_AREA_PX = 9;
/** 12 √(λ₁λ₂) / area with λ the second moments: 1 for a box, 0.95 for a disc, far above for letters, frames and stripes. */
const BOXLIKE: readonly [number, number] = [0.88, 1.4];

/** @param longest How many times longer than broad a patch may be. */
export function evenCells(raster: ColourRaster, longest: number): Cell[] {
  const { widthPx, heightPx } = raster;
  const rise = rises(raster);
  const calm = Math.max(LEAST_RISE, CALM_TIMES * quantile(rise, CALM_QUANTILE));
  const cells: Cell[] = [];
  const mask = new Uint8Array(widthPx * heightPx);
  for (const step of STEPS) {
    const limit = calm * step;
    for (let i = 0; i < mask.length; i++) mask[i] = rise[i] < limit ? 1 : 0;
    for (const piece of components({ data: mask, widthPx, heightPx })) {
      if (piece.area < LEAST_AREA_PX || 20 * piece.area > mask.length) continue;
      const cell = cellOf(piece, longest);
      if (cell !== null) cells.push(cell);
    }
  }
  return distinct(cells);
}

/** Largest rise of a channel, per px, over 3 × 3 pixels (Prewitt 1970); the picture's rim counts as an edge. */
function rises({ rgb, widthPx, heightPx }: ColourRaster): Float32Array {
  const out = new Float32Array(widthPx * heightPx).fill(1);
  const row = 3 * widthPx;
  for (let y = 1; y < heightPx - 1; y++) {
    for (let x = 1; x < widthPx - 1; x++) {
      const at = 3 * (y * widthPx + x);
      let most = 0;
      for (let i = at; i < at + 3; i++) {
        const nw = rgb[i - row - 3];
        const ne = rgb[i - row + 3];
        const sw = rgb[i + row - 3];
        const se = rgb[i + row + 3];
        const across = ne + rgb[i + 3] + se - nw - rgb[i - 3] - sw;
        const down = sw + rgb[i + row] + se - nw - rgb[i - row] - ne;
        most = Math.max(most, across * across + down * down);
      }
      out[y * widthPx + x] = Math.sqrt(most) / 6;
    }
  }
  return out;
}

function cellOf(piece: Component, longest: number): Cell | null {
  const { runs, area, centroid, x0, y0, x1, y1 } = piece;
  const width = x1 - x0 + 1;
  const height = y1 - y0 + 1;
  // A turned box fills at least half of the box about it; cheap, and most pieces of a page fail here.
  if (area < 0.35 * width * height) return null;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let k = 0; k < runs.length; k += 3) {
    const n = runs[k + 2] - runs[k + 1] + 1;
    const dy = runs[k] + 0.5 - centroid[1];
    const dx = (runs[k + 1] + runs[k + 2] + 1) / 2 - centroid[0];
    xx += n * (dx * dx + (n * n - 1) / 12);
    xy += n * dx * dy;
    yy += n * dy * dy;
  }
  // A pixel is itself 1/12 wide.
  xx = xx / area + 1 / 12;
  yy = yy / area + 1 / 12;
  xy /= area;
  const mean = (xx + yy) / 2;
  const swing = Math.hypot((xx - yy) / 2, xy);
  const broad = mean + swing;
  const narrow = mean - swing;
  if (!(narrow > 0) || broad > (1.35 * longest) ** 2 * narrow) return null;
  const boxlike = (12 * Math.sqrt(broad * narrow)) / area;
  if (boxlike < BOXLIKE[0] || boxlike > BOXLIKE[1]) return null;
  return { x: centroid[0], y: centroid[1], areaPx: area, sidePx: Math.sqrt(area) };
}

/** The same patch shows at several steps; the first, calmest one that is large enough stands for all. */
function distinct(cells: readonly Cell[]): Cell[] {
  const kept: Cell[] = [];
  const places = new Map<number, Cell[]>();
  const key = (x: number, y: number): number => Math.floor(y / 8) * 65536 + Math.floor(x / 8);
  for (const cell of cells.toSorted((a, b) => b.areaPx - a.areaPx)) {
    let known = false;
    for (let dy = -8; dy <= 8 && !known; dy += 8) {
      for (let dx = -8; dx <= 8 && !known; dx += 8) {
        known = (places.get(key(cell.x + dx, cell.y + dy)) ?? []).some(
          (other) =>
            Math.hypot(other.x - cell.x, other.y - cell.y) < Math.min(8, 0.3 * cell.sidePx) &&
            other.areaPx < 2.5 * cell.areaPx,
        );
      }
    }
    if (known) continue;
    kept.push(cell);
    const place = key(cell.x, cell.y);
    places.set(place, [...(places.get(place) ?? []), cell]);
  }
  return kept;
}

function quantile(values: Float32Array, share: number): number {
  const stride = Math.max(1, Math.floor(values.length / 50_000));
  const sample = new Float32Array(Math.ceil(values.length / stride));
  for (let i = 0; i < sample.length; i++) sample[i] = values[i * stride];
  sample.sort();
  return sample[Math.floor(share * (sample.length - 1))];
}
