/**
 * Strips that lie on a scan, for a person to take or leave: a box around each, which way the liquid went, where origin and front are. Nothing is
 * measured by it.
 */
import { components, type Component } from '../../raster/components.ts';
import type { LinearRaster } from '../../raster/raster.ts';
import { likelihoodOfWay, SURELY_ONE_WAY } from './likelyWay.ts';
import { seeStrip } from './seeStrip.ts';
import { STRIP_DEFAULTS, type Travel } from './strip.ts';

export interface ProposedStrip {
  /** x, y, width, height from the raster's top left corner, mm. */
  readonly boxMm: readonly [number, number, number, number];
  readonly travel: Travel;
  /** The two ends were told apart by what they look like; otherwise the direction is a guess. */
  readonly travelSure: boolean;
  /** From the box's top edge, or its left edge where the liquid went left or right; null: not found. */
  readonly originMm: number | null;
  readonly frontMm: number | null;
}

/** The scan is searched in cells of this size, mm. */
const CELL_MM = 0.5;
/** The bed is what the scan's rim shows, over so much, mm. */
const RIM_MM = 2;
/** Paper differs from the bed by this much, log10 summed over three channels, and a black bed's noise counts from this signal. */
const LEAST_STEP = 0.045;
const DARKEST = 0.05;
/** Strips of paper chromatography, mm (common practice, no source). */
const LENGTH_MM = [35, 320] as const;
const WIDTH_MM = [6, 50] as const;
const LEAST_SLENDER = 1.8;
/** Area over that of the rectangle with its moments. */
const RECTANGLE = [0.82, 1.12] as const;
/** A box is drawn this far outside the strip, so that its edges and its ends are in view when it leans, mm. */
const AROUND_MM = 2.5;
/** Lines are looked for this far inside the strip's two ends, mm: a cut edge and its shadow are dark and lie across the strip too. */
const INSIDE_MM = 1.2;
/** A strip further off the scan's own axes than this is turned by hand. */
const MOST_LEAN = Math.tan((9 * Math.PI) / 180);

/** @param scan linear signals of a whole scan at 75 to 150 dpi. @returns from left to right, or from the top where strips lie across. */
export function proposeStrips(scan: LinearRaster): ProposedStrip[] {
  const perCell = Math.max(1, Math.round((CELL_MM * scan.dpi) / 25.4));
  const mask = unlikeBed(scan, perCell);
  return components(mask)
    .flatMap((c) => stripBox(c, perCell * (25.4 / scan.dpi)) ?? [])
    .map((found) => proposal(scan, { ...found, boxMm: withinScan(scan, found.boxMm) }))
    .toSorted((a, b) => a.boxMm[0] - b.boxMm[0] || a.boxMm[1] - b.boxMm[1]);
}

function unlikeBed(scan: LinearRaster, perCell: number): { data: Uint8Array; widthPx: number; heightPx: number } {
  const widthPx = Math.floor(scan.widthPx / perCell);
  const heightPx = Math.floor(scan.heightPx / perCell);
  const logs = new Float64Array(3 * widthPx * heightPx);
  for (let y = 0; y < heightPx * perCell; y++) {
    for (let x = 0; x < widthPx * perCell; x++) {
      const cell = 3 * (Math.floor(y / perCell) * widthPx + Math.floor(x / perCell));
      const at = 3 * (y * scan.widthPx + x);
      for (let c = 0; c < 3; c++) logs[cell + c] += scan.data[at + c];
    }
  }
  for (let i = 0; i < logs.length; i++) logs[i] = -Math.log10(Math.max(DARKEST, logs[i] / perCell ** 2));
  const rim = Math.max(1, Math.round(RIM_MM / CELL_MM));
  const bed = [0, 1, 2].map((c) => {
    const seen: number[] = [];
    for (let y = 0; y < heightPx; y++)
      for (let x = 0; x < widthPx; x++)
        if (x < rim || y < rim || x >= widthPx - rim || y >= heightPx - rim) seen.push(logs[3 * (y * widthPx + x) + c]);
    return seen.toSorted((a, b) => a - b)[seen.length >> 1] ?? 0;
  });
  const data = Uint8Array.from({ length: widthPx * heightPx }, (_, i) => {
    const step = [0, 1, 2].reduce((sum, c) => sum + Math.abs(logs[3 * i + c] - bed[c]), 0);
    return step > LEAST_STEP ? 1 : 0;
  });
  return { data, widthPx, heightPx };
}

interface FoundPaper {
  readonly boxMm: ProposedStrip['boxMm'];
  readonly upright: boolean;
  /** Along the run, mm in the scan: between these there is paper over the strip's whole width. */
  readonly paperMm: readonly [from: number, to: number];
}

/** A slender rectangle near to one of the scan's axes; null: something else. */
function stripBox(c: Component, cellMm: number): FoundPaper | null {
  if (c.area * cellMm ** 2 < LENGTH_MM[0] * WIDTH_MM[0]) return null;
  const [mx, my] = c.centroid;
  let [xx, yy, xy] = [0, 0, 0];
  for (let k = 0; k < c.runs.length; k += 3) {
    const dy = c.runs[k] + 0.5 - my;
    for (let x = c.runs[k + 1]; x <= c.runs[k + 2]; x++) {
      const dx = x + 0.5 - mx;
      xx += dx * dx;
      yy += dy * dy;
      xy += dx * dy;
    }
  }
  const mean = (xx + yy) / 2 / c.area;
  const spread = Math.hypot((xx - yy) / 2, xy) / c.area;
  // Of a rectangle the variance along a side is its square over 12.
  const lengthMm = Math.sqrt(12 * (mean + spread)) * cellMm;
  const widthMm = Math.sqrt(12 * Math.max(0, mean - spread)) * cellMm;
  const filled = (c.area * cellMm ** 2) / (lengthMm * widthMm);
  const upright = yy > xx;
  const angle = 0.5 * Math.atan2(2 * xy, xx - yy);
  const lean = Math.abs(Math.tan(upright ? Math.PI / 2 - Math.abs(angle) : angle));
  const fits =
    within(lengthMm, LENGTH_MM) &&
    within(widthMm, WIDTH_MM) &&
    lengthMm > LEAST_SLENDER * widthMm &&
    within(filled, RECTANGLE) &&
    lean < MOST_LEAN;
  if (!fits) return null;
  const middle = (upright ? my : mx) * cellMm;
  const reach = (Math.cos(Math.atan(lean)) * (lengthMm - lean * widthMm)) / 2 - INSIDE_MM;
  return {
    paperMm: [middle - reach, middle + reach],
    boxMm: [
      c.x0 * cellMm - AROUND_MM,
      c.y0 * cellMm - AROUND_MM,
      (c.x1 - c.x0 + 1) * cellMm + 2 * AROUND_MM,
      (c.y1 - c.y0 + 1) * cellMm + 2 * AROUND_MM,
    ],
    upright,
  };
}

function proposal(scan: LinearRaster, { boxMm, upright, paperMm }: FoundPaper): ProposedStrip {
  const [x, y, w, h] = boxMm;
  const [from, to] = paperMm;
  const signal = cut(scan, upright ? [x, from, w, to - from] : [from, y, to - from, h]);
  const pxMm = 25.4 / scan.dpi;
  const insideMm = Math.round(from / pxMm) * pxMm - (upright ? y : x);
  const ways: readonly [Travel, Travel] = upright ? ['up', 'down'] : ['right', 'left'];
  const looks = ways.map((travel) => {
    const seen = seeStrip({ signal, travel, originMm: null, frontMm: null }, STRIP_DEFAULTS);
    return { travel, seen, score: seen === null ? -1 : likelihoodOfWay(seen) };
  });
  const [best, other] = looks.toSorted((a, b) => b.score - a.score);
  const { seen, travel } = best;
  const place = (mm: number | null): number | null => (mm === null || seen === null ? null : seen.toBox(mm) + insideMm);
  return {
    boxMm,
    travel,
    travelSure: best.score - other.score >= SURELY_ONE_WAY,
    originMm: place(seen?.ends.originMm ?? null),
    frontMm: place(seen?.ends.frontMm ?? null),
  };
}

function withinScan(scan: LinearRaster, [x, y, w, h]: ProposedStrip['boxMm']): ProposedStrip['boxMm'] {
  const mm = 25.4 / scan.dpi;
  const [left, top] = [Math.max(0, x), Math.max(0, y)];
  return [left, top, Math.min(scan.widthPx * mm, x + w) - left, Math.min(scan.heightPx * mm, y + h) - top];
}

function cut(scan: LinearRaster, boxMm: ProposedStrip['boxMm']): LinearRaster {
  const [x, y, w, h] = boxMm.map((v) => Math.round((v * scan.dpi) / 25.4));
  const widthPx = Math.min(w, scan.widthPx - x);
  const heightPx = Math.min(h, scan.heightPx - y);
  const data = new Float32Array(3 * widthPx * heightPx);
  const clipped = new Uint8Array(widthPx * heightPx);
  for (let row = 0; row < heightPx; row++) {
    const from = (y + row) * scan.widthPx + x;
    data.set(scan.data.subarray(3 * from, 3 * (from + widthPx)), 3 * row * widthPx);
    clipped.set(scan.clipped.subarray(from, from + widthPx), row * widthPx);
  }
  const [ox, oy] = scan.originPx;
  return { data, widthPx, heightPx, dpi: scan.dpi, originPx: [ox + x, oy + y], clipped };
}

function within(value: number, [low, high]: readonly [number, number]): boolean {
  return value >= low && value <= high;
}
