/** The ink of one region on its own paper, levelled: what every measure of a writing sample starts from. */
import type { LinearRaster } from '../raster/raster.ts';
import { NEW_ROOMS, type Rooms } from '../raster/rooms.ts';
import { bedBeside, paperOverBed } from './bedBeside.ts';
import { type CoarseInk, coarseInk, INK_DEFAULTS, writeContrast } from './coarseInk.ts';
import type { CoarseRatio } from './coarseRatio.ts';
import { bareOfSquares, clearedSquares, fineInk, type Ink, squaresAway } from './inkMask.ts';
import { bareBeyond, clearOfInkPx, levelTo, localPlane } from './localPaper.ts';
import { ratioToPaper } from './paperRatio.ts';
import type { Breadth } from './otherBreadths.ts';
import type { PaperSurface } from './paperSurface.ts';

export interface RegionInkOptions {
  /** The signal's room may be used for what is made of it. @default false */
  readonly spendSignal?: boolean;
  /** Called where rasters have just been let go. */
  readonly onLetGo?: () => void;
  /** Where rasters go; what is found lies in them. @default new ones */
  readonly rooms?: Rooms;
  /** Ink of another breadth is set aside; null: whatever its breadth, it counts. @default null */
  readonly breadth?: Breadth | null;
}

export interface RegionInk {
  readonly ink: Ink;
  /** 1 on paper that neither ink nor its halo reaches. */
  readonly bare: Uint8Array;
}

/** Paper that lies this far from the page's surface shifts thresholds noticeably. */
const LEVEL_AGAIN = 0.01;

/** Null when nothing in the region stands out from the paper. What of the box lies beyond the paper's edge counts neither as ink nor as paper. */
export function regionInk(signal: LinearRaster, paper: PaperSurface, options: RegionInkOptions = {}): RegionInk | null {
  const bed = bedBeside(signal, paper);
  if (bed === null) return inkOnPaper(signal, paper, options);
  const room = options.spendSignal ? signal.data : new Float32Array(signal.data.length);
  const found = inkOnPaper(paperOverBed(signal, paper, bed, room), paper, options);
  if (found === null) return null;
  let beyond = 0;
  for (let i = 0; i < bed.length; i++) {
    if (bed[i] === 0) continue;
    found.bare[i] = 0;
    beyond++;
  }
  return { ...found, ink: { ...found.ink, otherMarksPx: found.ink.otherMarksPx + beyond } };
}

function inkOnPaper(signal: LinearRaster, paper: PaperSurface, options: RegionInkOptions): RegionInk | null {
  const { spendSignal = false, onLetGo, rooms = NEW_ROOMS, breadth = null } = options;
  const used = { ...INK_DEFAULTS, breadth };
  const { widthPx, heightPx, dpi } = signal;
  const { pixelNoise } = paper;
  const room = (): Float32Array => (spendSignal ? signal.data : rooms.floats(signal.data.length));
  const { coarse, ratio: taken } = clearedSquares(signal, paper, room, rooms);
  let found = coarseInk(coarse, pixelNoise, used);
  if (found === null) return null;
  let away = allInkAway(found, coarse);
  const plane = localPlane(coarse, bareBeyond(away, clearOfInkPx(coarse.dpi), coarse.widthPx));
  if (plane !== null && levelTo(plane, coarse, 1) > LEVEL_AGAIN) {
    // Edges and threshold were taken on a slope: once more on level ground.
    found = coarseInk(coarse, pixelNoise, used);
    if (found === null) return null;
    away = allInkAway(found, coarse);
  }
  onLetGo?.();
  const { direction } = found.densest;
  const contrast = rooms.floats(widthPx * heightPx);
  const ratio = taken ?? room();
  const written = { data: contrast, direction };
  // Where squares are pixels, these are level already.
  if (taken === null) ratioToPaper(signal, paper, ratio, plane && { plane, step: coarse.step }, written);
  else if (plane !== null && coarse.step > 1) levelTo(plane, { data: ratio, widthPx, heightPx }, coarse.step, written);
  else
    for (let start = 0; start < contrast.length; start += widthPx) {
      writeContrast(ratio, direction, contrast, start, start + widthPx);
    }
  const ink = fineInk(found, { ratio, contrast, widthPx, heightPx, dpi }, coarse, away, pixelNoise, {}, rooms);
  onLetGo?.();
  if (ink === null) return null;
  const clear = clearOfInkPx(dpi);
  return {
    ink,
    bare:
      coarse.step > 1
        ? bareOfSquares(away, coarse, clear, signal, rooms)
        : bareBeyond(found.aside === null ? ink.awayPx : away, clear, widthPx),
  };
}

/** Distance of each square to what is ink, set aside or not, in squares. */
function allInkAway({ mask, aside }: CoarseInk, coarse: CoarseRatio): Float32Array {
  if (aside === null) return squaresAway(mask, coarse);
  return squaresAway({ ...mask, data: mask.data.map((v, i) => v | aside.data[i]) }, coarse);
}
