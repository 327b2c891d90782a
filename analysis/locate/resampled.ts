/**
 * Whether pixels were computed from others after scanning, as by turning or resizing a page. Between scanned pixels an interpolated one keeps less of their
 * noise the further from them it lies, so how rough a page is repeats as the two grids slide past each other: a line in the spectrum of the roughness.
 * Sources: Popescu & Farid (2005), IEEE Trans. Signal Processing 53(2), 758–767; Gallagher (2005), Proc. CRV, 65–72; Kirchner (2008), Proc. ACM MM&Sec, 11–20,
 * whose fixed filter takes the place of a fitted one.
 */
import { reimFFT } from 'ml-spectra-processing/reim';
import type { DeviceRaster } from '../raster/raster.ts';
import { selectKth } from '../raster/select.ts';

/** Side of a tile, px. */
const TILE = 256;
/** What the filters reach beyond a tile. */
const REACH = 2;
/** So many tell nearly all; more cost time. */
const MOST_TILES = 8;
/** Coarser pixels leave fibres unblurred, whose own pattern then shows (benches at 150 dpi: 5 of 11 untouched pages). */
const LEAST_DPI = 200;
/** Side of a square strip that holds a tile, px. */
export const LEAST_STRIP_PX = TILE + 2 * REACH;

/** How far from its tile's median a pixel is more than paper, in median deviations; what the filters and a blurred edge reach from there is left out, too. */
const INK_DEVIATIONS = 6;
const BESIDE_INK_PX = 4;
/** A tile of less paper tells nothing. */
const LEAST_PAPER = 0.3;
/** Roughness above so many medians counts as that: a speck must not decide. */
const MOST_ROUGH = 3;

/** Slower waves than so many a tile are the page's own. */
const SLOWEST = 6;
/** A line's neighbours, among whose medians it stands, bins to either side. */
const AROUND = 6;
/** … which noise of a few tiles leaves far below their mean at places. */
const LEAST_AROUND = 0.2;
/** Of the filtered values of bare paper a single wave holds less by far. */
const MOST_OF_A_WAVE = 0.02;
/** JPEG's blocks of 8 px, bins: lines at all their multiples. */
const BLOCKS = TILE / 8;
/** From this share of what tells on they are there, and another line must be so many times as clear (of a JPEG of quality 50: twice). */
const BLOCKS_SEEN = 0.5;
const BESIDE_BLOCKS = 10;

/** How far a line must stand out over what is about it, for 1 to 8 tiles: half as far again as noise reaches in one page of a million. */
function leastRatio(tiles: number): number {
  return 3 + 23 / tiles ** 0.9;
}

/** How many rows a strip of such a width should have; fewer serve from LEAST_STRIP_PX on. */
export function stripRows(widthPx: number): number {
  const across = Math.max(1, Math.floor((widthPx - 2 * REACH) / TILE));
  return TILE * Math.ceil(MOST_TILES / across) + 2 * REACH;
}

/**
 * false also where that cannot be told: below 200 dpi, in a strip too small or too full of ink, in coarse values, after JPEG, of pixels left out or turned without any
 * smoothing, and of a turn by less than about 1°.
 */
export function isResampled(strip: DeviceRaster): boolean {
  if (strip.dpi < LEAST_DPI) return false;
  const ratio = resampledRatio(strip);
  return ratio !== null && ratio > 1;
}

/** How far the clearest line stands out, as a share of what would tell; null: too little paper. */
export function resampledRatio(strip: DeviceRaster): number | null {
  const tiles = tilesOf(strip).flatMap(([left, top]) => filtered(strip, left, top) ?? []);
  if (tiles.length === 0) return null;
  const ratio = Math.max(...spectra(tiles.map(({ rough }) => rough)).map((sum) => clearestLine(sum, tiles.length)));
  if (ratio <= 1) return ratio;
  return spectra(tiles.map(({ signed }) => signed())).some((sum) => repeats(sum, tiles.length)) ? 0 : ratio;
}

function tilesOf({ widthPx, heightPx }: DeviceRaster): [left: number, top: number][] {
  const across = Math.min(MOST_TILES, Math.floor((widthPx - 2 * REACH) / TILE));
  const down = Math.min(Math.floor((heightPx - 2 * REACH) / TILE), Math.ceil(MOST_TILES / Math.max(1, across)));
  const place = (lengthPx: number, n: number, of: number) =>
    REACH + Math.floor(((lengthPx - 2 * REACH - TILE) * (n + 0.5)) / of);
  return Array.from({ length: across * down }, (_, n): [number, number] => [
    place(widthPx, n % across, across),
    place(heightPx, Math.floor(n / across), down),
  ]).slice(0, MOST_TILES);
}

/** Whether much of the values lies in one wave, as of a printed screen or a weave: it is as rough as it is dark, and tells nothing. */
function repeats(sum: Float64Array, tiles: number): boolean {
  return sum.reduce((most, v) => Math.max(most, v), 0) > MOST_OF_A_WAVE * TILE * TILE * tiles;
}

/** Power of waves across and of waves down, summed over all tiles; its mean is their number. */
function spectra(maps: readonly Maps[]): Maps {
  const sums: Maps = [new Float64Array(TILE * TILE), new Float64Array(TILE * TILE)];
  for (const map of maps) addPower(map, sums);
  return sums;
}

/** TILE × TILE each: of waves across and of waves down. */
type Maps = readonly [Float64Array, Float64Array];

interface Tile {
  readonly rough: Maps;
  /** Asked for of what looks resampled alone. */
  readonly signed: () => Maps;
}

/** Third differences along a direction of fourth ones across it: paper's own fibres, which the scanner's blur has smoothed, hardly count in them. */
function filtered({ data, widthPx }: DeviceRaster, left: number, top: number): Tile | null {
  const side = TILE + 2 * REACH;
  const green = new Float64Array(side * side);
  for (let y = 0; y < side; y++) {
    let i = 3 * ((top - REACH + y) * widthPx + left - REACH) + 1;
    for (let x = 0; x < side; x++, i += 3) green[y * side + x] = data[i];
  }
  const isPaper = paperOf(green, side);
  const across = differences(green, side, 1, side);
  const down = differences(green, side, side, 1);
  const rough = [roughness(across, isPaper), roughness(down, isPaper)] as const;
  if (rough[0] === null || rough[1] === null) return null;
  return { rough: [rough[0], rough[1]], signed: () => [onPaper(across, isPaper), onPaper(down, isPaper)] };
}

/** Fourth differences by steps of `fourth`, third ones of these by steps of `third`. */
function differences(plane: Float64Array, side: number, third: number, fourth: number): Float64Array {
  const bend = new Float64Array(plane.length);
  for (let k = 2 * fourth; k < plane.length - 2 * fourth; k++) {
    const [near, far] = [plane[k - fourth] + plane[k + fourth], plane[k - 2 * fourth] + plane[k + 2 * fourth]];
    bend[k] = far - 4 * near + 6 * plane[k];
  }
  const out = new Float64Array(TILE * TILE);
  for (let y = 0; y < TILE; y++) {
    for (let x = 0, k = (y + REACH) * side + REACH; x < TILE; x++, k++) {
      out[y * TILE + x] = bend[k + 2 * third] - bend[k - third] + 3 * (bend[k] - bend[k + third]);
    }
  }
  return out;
}

function paperOf(plane: Float64Array, side: number): Uint8Array {
  const n = plane.length;
  const middle = medianOf(plane.slice(), n);
  const away = new Float64Array(n);
  for (let k = 0; k < n; k++) away[k] = Math.abs(plane[k] - middle);
  const far = INK_DEVIATIONS * medianOf(away.slice(), n) + 1;
  // Across and then down: the square about each pixel of ink, of which there may be many.
  const besideInk = new Uint8Array(side * TILE);
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      if (away[y * side + x] <= far) continue;
      const [from, to] = aroundInk(x);
      besideInk.fill(1, y * TILE + from, y * TILE + to);
    }
  }
  const isPaper = new Uint8Array(TILE * TILE).fill(1);
  for (let y = 0; y < side; y++) {
    const [from, to] = aroundInk(y);
    for (let x = 0; x < TILE; x++) {
      if (besideInk[y * TILE + x] === 0) continue;
      for (let k = from * TILE + x; k < to * TILE; k += TILE) isPaper[k] = 0;
    }
  }
  return isPaper;
}

/** Of a tile's places, which are REACH farther in. @returns from, and up to */
function aroundInk(at: number): readonly [number, number] {
  return [Math.max(0, at - REACH - BESIDE_INK_PX), Math.min(TILE, at - REACH + BESIDE_INK_PX + 1)];
}

/** Of mean 0, and 0 off the paper; null: too little paper, or values too coarse to show any noise. */
function roughness(values: Float64Array, isPaper: Uint8Array): Float64Array | null {
  const seen = new Float64Array(values.length);
  let n = 0;
  for (let k = 0; k < values.length; k++) if (isPaper[k]) seen[n++] = Math.abs(values[k]);
  if (n < LEAST_PAPER * values.length) return null;
  // Of coarse values most are often none.
  const usual = medianOf(seen, n) || seen.subarray(0, n).reduce((sum, v) => sum + v, 0) / n;
  if (usual === 0) return null;
  const rough = new Float64Array(values.length);
  for (let k = 0; k < rough.length; k++) rough[k] = Math.min(MOST_ROUGH, Math.abs(values[k]) / usual);
  return onPaper(rough, isPaper);
}

function onPaper(values: Float64Array, isPaper: Uint8Array): Float64Array {
  let [sum, n] = [0, 0];
  for (let k = 0; k < values.length; k++) {
    if (!isPaper[k]) continue;
    sum += values[k];
    n++;
  }
  const mean = sum / n;
  const out = new Float64Array(values.length);
  for (let k = 0; k < out.length; k++) if (isPaper[k]) out[k] = values[k] - mean;
  return out;
}

function medianOf(values: Float64Array, count: number): number {
  return selectKth(values, count, count >> 1);
}

/** The power of both real maps, of mean 1 each, from one transform. */
function addPower([a, b]: Maps, [sumA, sumB]: Maps): void {
  const [re, im] = transformed(a, b);
  const [scaleA, scaleB] = [a, b].map((map) => 0.25 / Math.max(1e-30, sumOfSquares(map)));
  for (let y = 0; y < TILE; y++) {
    for (let x = 0; x < TILE; x++) {
      const k = y * TILE + x;
      const other = ((TILE - y) % TILE) * TILE + ((TILE - x) % TILE);
      sumA[k] += scaleA * ((re[k] + re[other]) ** 2 + (im[k] - im[other]) ** 2);
      sumB[k] += scaleB * ((im[k] + im[other]) ** 2 + (re[k] - re[other]) ** 2);
    }
  }
}

function sumOfSquares(values: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < values.length; k++) sum += values[k] * values[k];
  return sum;
}

/** Of a + ib, as rows of rows. */
function transformed(a: Float64Array, b: Float64Array): [re: Float64Array, im: Float64Array] {
  const re = Float64Array.from(a);
  const im = Float64Array.from(b);
  for (let y = 0; y < TILE; y++) {
    const row = [y * TILE, (y + 1) * TILE] as const;
    reimFFT({ re: re.subarray(...row), im: im.subarray(...row) }, { inPlace: true });
  }
  const column = { re: new Float64Array(TILE), im: new Float64Array(TILE) };
  for (let x = 0; x < TILE; x++) {
    for (let y = 0, k = x; y < TILE; y++, k += TILE) {
      column.re[y] = re[k];
      column.im[y] = im[k];
    }
    reimFFT(column, { inPlace: true });
    for (let y = 0, k = x; y < TILE; y++, k += TILE) {
      re[k] = column.re[y];
      im[k] = column.im[y];
    }
  }
  return [re, im];
}

/** The clearest line of a sum of spectra, as a share of what would tell; blocks of JPEG, which have odd lines as well as even ones, do not count. */
function clearestLine(sum: Float64Array, tiles: number): number {
  const least = leastRatio(tiles) * tiles;
  const clearest = { free: 0, even: 0, odd: 0 };
  for (let fy = 0; fy <= TILE / 2; fy++) {
    for (let fx = fy === 0 ? 1 : 1 - TILE / 2; fx <= TILE / 2; fx++) {
      const power = sum[at(fx, fy)];
      if (power < LEAST_AROUND * least || fx * fx + fy * fy < SLOWEST ** 2) continue;
      const ratio = power / (least * Math.max(LEAST_AROUND, around(sum, fx, fy) / tiles));
      const kind = lineOfBlocks(fx, fy);
      clearest[kind] = Math.max(clearest[kind], ratio);
    }
  }
  const { free, even, odd } = clearest;
  if (odd < BLOCKS_SEEN) return Math.max(free, even);
  return free > BESIDE_BLOCKS * odd ? free : 0;
}

/** Whether it lies on a multiple of the blocks' frequency both ways, and one of them an odd one. */
function lineOfBlocks(fx: number, fy: number): 'free' | 'even' | 'odd' {
  const [x, y] = [Math.round(fx / BLOCKS), Math.round(fy / BLOCKS)];
  if (Math.abs(fx - x * BLOCKS) > 1 || Math.abs(fy - y * BLOCKS) > 1) return 'free';
  return x % 2 === 0 && y % 2 === 0 ? 'even' : 'odd';
}

function at(fx: number, fy: number): number {
  return ((fy + TILE) % TILE) * TILE + ((fx + TILE) % TILE);
}

const neighbours = new Float64Array((2 * AROUND + 1) ** 2);

/** Mean power about a place, told by the median: that of an exponential is ln 2 of its mean. */
function around(sum: Float64Array, fx: number, fy: number): number {
  let n = 0;
  for (let b = -AROUND; b <= AROUND; b++) {
    const row = at(0, fy + b);
    for (let a = -AROUND; a <= AROUND; a++) neighbours[n++] = sum[row + at(fx + a, 0)];
  }
  return medianOf(neighbours, n) / Math.LN2;
}
