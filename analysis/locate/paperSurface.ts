/**
 * The bare paper of a page as a low-order surface of linear signals, so that ink is judged against the paper under it:
 * uneven light and a paper's slow mottling divide out.
 *
 * The page arrives as cells (means and standard deviations of small squares, gathered while the scan streams by),
 * never as one raster.
 */
import { type LowOrderSurface, fitSurface, surfaceAt } from '../raster/lowOrderSurface.ts';
import { triple } from '../triple.ts';
import { median } from '../quantile.ts';

export type Signal = readonly [r: number, g: number, b: number];

/** Means over one square cell of a page; linear signals. */
export interface PageCell {
  /** Centre in the scan, mm. */
  readonly xMm: number;
  readonly yMm: number;
  readonly mean: Signal;
  /** Standard deviation of the pixels within the cell. */
  readonly sd: Signal;
  /** Share of its pixels at an end of the device scale. */
  readonly clippedShare: number;
  /** Whether the cell lies wholly in a region that the person marked as bare paper, in one that is written on, or elsewhere. */
  readonly place: 'marked' | 'written' | 'elsewhere';
}

export interface PaperSurface {
  /** Signal of bare paper over the page. */
  readonly surface: LowOrderSurface;
  /** Pixel noise and texture relative to the paper's signal, 1 = 100 %. */
  readonly pixelNoise: Signal;
  /** What is left of the cells' means about the surface, relative: mottling that the surface does not follow. */
  readonly cellNoise: number;
  /** Half the range of the surface over the cells seen, relative: how uneven light and paper are. */
  readonly unevenness: number;
  readonly cells: number;
  /** Share of the paper's pixels at an end of the device scale: paper that was scanned too bright is no measure for ink on it. */
  readonly clippedShare: number;
}

export interface PaperOptions {
  /** A cell is paper when each channel lies this near to the seed, relative. @default 0.07 */
  readonly likeness?: number;
  /** … and when its scatter is below this many times that of the seed's cells. @default 2.5 */
  readonly calmness?: number;
}
export const PAPER_DEFAULTS = { likeness: 0.07, calmness: 2.5 } satisfies Required<PaperOptions>;

/** Fewer cells than this tell no slope; a plain mean is used instead. */
const CELLS_FOR_A_SURFACE = 24;

/** A cell of a marked patch this many times as rough as its calm ones holds print, or dirt. */
const MOST_ROUGH = 3;
/** One that differs from the patch's palest tenth by more than this in a channel holds ink; light falls off by less across a box. */
const HOLDS_INK = 0.15;
/** More such cells than this, and the mean over the patch is no paper's. */
const MOST_INKED = 0.02;

/** Null when no bare paper can be told (everything inked, or no cell resembles another). */
export function findPaper(cells: readonly PageCell[], options: PaperOptions = {}): PaperSurface | null {
  const used = { ...PAPER_DEFAULTS, ...options };
  const seeds = seedCells(cells);
  if (seeds.length === 0) return null;
  const seed: Signal = triple((c) => median(seeds.map((s) => s.mean[c])));
  const calm = [0, 1, 2].map((c) => median(seeds.map((s) => s.sd[c])) * used.calmness + 1e-5);
  const paper = cells.filter((cell) =>
    cell.place === 'marked'
      ? seeds.includes(cell)
      : [0, 1, 2].every((c) => Math.abs(cell.mean[c] / seed[c] - 1) < used.likeness) &&
        [0, 1, 2].every((c) => cell.sd[c] < calm[c]),
  );
  if (paper.length === 0) return null;
  const order = paper.length >= CELLS_FOR_A_SURFACE ? 2 : paper.length >= 6 ? 1 : 0;
  const surface = fitSurface(
    paper.map((p) => [p.xMm, p.yMm] as const),
    paper.map((p) => p.mean),
    order,
  );
  const relative: number[] = [];
  const ratios: number[] = [];
  const at: [number, number, number] = [0, 0, 0];
  for (const cell of paper) {
    surfaceAt(surface, cell.xMm, cell.yMm, at);
    relative.push((cell.mean[0] / at[0] + cell.mean[1] / at[1] + cell.mean[2] / at[2]) / 3 - 1);
    ratios.push((at[0] / seed[0] + at[1] / seed[1] + at[2] / seed[2]) / 3);
  }
  const pixelNoise: Signal = triple((c) => Math.max(1e-4, median(paper.map((p) => p.sd[c])) / seed[c]));
  return {
    surface,
    pixelNoise,
    cellNoise: 1.4826 * median(relative.map(Math.abs)),
    unevenness: (Math.max(...ratios) - Math.min(...ratios)) / 2,
    cells: paper.length,
    clippedShare: paper.reduce((sum, cell) => sum + cell.clippedShare, 0) / paper.length,
  };
}

/**
 * Marked cells if there are any; else, of the cells between written lines (elsewhere lies the scanner's lid, as pale and
 * calmer), the calmest quarter, of those the paler half.
 */
function seedCells(cells: readonly PageCell[]): readonly PageCell[] {
  const marked = markedCells(cells);
  if (marked.length > 0) return besidePrint(besideInk(marked));
  const written = cells.filter((c) => c.place === 'written');
  const likely = written.length > 0 ? written : cells;
  const roughness = (c: PageCell) => (c.sd[0] + c.sd[1] + c.sd[2]) / Math.max(1e-6, c.mean[0] + c.mean[1] + c.mean[2]);
  const calmest = likely.toSorted((a, b) => roughness(a) - roughness(b)).slice(0, Math.ceil(likely.length / 4));
  const paleness = (c: PageCell) => c.mean[0] + c.mean[1] + c.mean[2];
  return calmest.toSorted((a, b) => paleness(b) - paleness(a)).slice(0, Math.ceil(calmest.length / 2));
}

/** A patch was marked as bare paper, and ink lies on it: its mean would make all ink on the page too dark. */
export function isWrittenOn(cells: readonly PageCell[]): boolean {
  const marked = markedCells(cells);
  return besideInk(marked).length < (1 - MOST_INKED) * marked.length;
}

function markedCells(cells: readonly PageCell[]): readonly PageCell[] {
  return cells.filter((c) => c.place === 'marked');
}

function besideInk(marked: readonly PageCell[]): readonly PageCell[] {
  const palest = triple((c) => {
    const sorted = marked.map(({ mean }) => mean[c]).toSorted((a, b) => a - b);
    return sorted[Math.floor(0.9 * (sorted.length - 1))];
  });
  return marked.filter(({ mean }) => [0, 1, 2].every((c) => mean[c] > (1 - HOLDS_INK) * palest[c]));
}

/** Marked cells that no rule or dot crosses: those have three times the scatter of the calmest quarter, and more. */
function besidePrint(marked: readonly PageCell[]): readonly PageCell[] {
  const roughness = (c: PageCell) => c.sd[0] + c.sd[1] + c.sd[2];
  const sorted = marked.map(roughness).toSorted((a, b) => a - b);
  const usual = sorted[Math.floor(sorted.length / 8)];
  return marked.filter((cell) => roughness(cell) <= MOST_ROUGH * usual);
}
