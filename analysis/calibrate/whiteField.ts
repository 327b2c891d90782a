/** The light over the bed from a bare white sheet: a coarse grid, so that any smooth lamp is followed, not only a quadratic one. */
import { cholesky, solveCholesky } from './cholesky.ts';
import type { FlatField, PatchReading, PointMm, SurroundReading, ToneCurve } from './calibration.ts';
import { lightAt } from './flatField.ts';
import { fitLight, linearLight } from './flatFieldFit.ts';
import type { WhiteSheet } from './whiteSheet.ts';

const NODE_MM = 10;
/** Cells within this of a node speak for it, nearer ones more (Cleveland's tricube): a quadratic about it, 40 cells or more. */
const REACH_MM = 22;
const ROUNDS = 3;
/** Share of the scanned bed that a sheet should cover each way. */
const MOST_OF_BED = 0.85;
/** Patches this far beyond the sheet's cells still see about the light at its edge. */
const NEAR_MM = 6;

type Curves = readonly [ToneCurve, ToneCurve, ToneCurve];

/**
 * Local quadratic regression at each node, robust (Cleveland 1979, J. Am. Stat. Assoc. 74, 829–836). Mean 1 over the sheet.
 * @returns null when the sheet is no smooth surface
 */
export function fitWhiteField(white: WhiteSheet, curves: Curves): FlatField | null {
  const places = white.cells.map((cell) => cell.placeMm);
  const linear = linearLight(white.cells, curves);
  const plain = fitLight(places, linear);
  if (plain === null) return null;
  const [x, y, width, height] = white.boxMm;
  const columns = Math.max(2, Math.round(width / NODE_MM) + 1);
  const rows = Math.max(2, Math.round(height / NODE_MM) + 1);
  const nodes = Array.from({ length: columns * rows }, (_, i): PointMm => {
    return [x + (width * (i % columns)) / (columns - 1), y + (height * Math.floor(i / columns)) / (rows - 1)];
  });
  const means = [0, 1, 2].map((c) => linear.reduce((sum, value) => sum + value[c], 0) / linear.length);
  const values = [0, 1, 2].map((c) => nodes.map(() => means[c]));
  nodes.forEach((node, i) => {
    localLight(node, places, linear).forEach((value, c) => (values[c][i] = value / means[c]));
  });
  const field: FlatField = {
    coefficients: plain.coefficients,
    centreMm: [x + width / 2, y + height / 2],
    halfMm: [width / 2, height / 2],
    residual: 0,
    grid: { columns, rows, values: values.map((row) => row.map((value) => Number(value.toFixed(6)))) },
  };
  const departures = white.cells.flatMap((cell, i) =>
    [0, 1, 2].map((c) => Math.abs(linear[i][c] / means[c] / lightAt(field, c, cell.placeMm) - 1)),
  );
  departures.sort((a, b) => a - b);
  return { ...field, residual: 1.4826 * departures[departures.length >> 1] };
}

/** The three channels' light at a place, from the cells around it. */
function localLight(
  [x, y]: PointMm,
  places: readonly PointMm[],
  linear: readonly (readonly [number, number, number])[],
): number[] {
  const near = places.flatMap((place, i) => {
    const distance = Math.hypot(place[0] - x, place[1] - y) / REACH_MM;
    return distance < 1 ? [{ i, weight: (1 - distance ** 3) ** 3 }] : [];
  });
  const rows = near.map(({ i }) => {
    const [u, v] = [(places[i][0] - x) / REACH_MM, (places[i][1] - y) / REACH_MM];
    return [1, u, v, u * u, u * v, v * v];
  });
  return [0, 1, 2].map((c) => {
    const values = near.map(({ i }) => linear[i][c]);
    let say = near.map(() => 1);
    let at = 0;
    for (let round = 0; round < ROUNDS; round++) {
      const k = weightedFit(
        rows,
        values,
        near.map(({ weight }, n) => weight * say[n]),
      );
      at = k[0];
      const rest = values.map((value, n) => Math.abs(value - rows[n].reduce((sum, r, p) => sum + r * k[p], 0)));
      const scale = 6 * Math.max(1e-9, [...rest].sort((a, b) => a - b)[rest.length >> 1]);
      say = rest.map((r) => (r < scale ? (1 - (r / scale) ** 2) ** 2 : 0));
    }
    return at;
  });
}

function weightedFit(
  rows: readonly (readonly number[])[],
  values: readonly number[],
  weights: readonly number[],
): Float64Array {
  const normal = new Float64Array(36);
  const right = new Float64Array(6);
  rows.forEach((row, n) => {
    for (let p = 0; p < 6; p++) {
      right[p] += weights[n] * row[p] * values[n];
      for (let q = 0; q <= p; q++) normal[6 * p + q] += weights[n] * row[p] * row[q];
    }
  });
  // Cells in one row only leave a slope open; this keeps it at zero.
  for (let p = 0; p < 6; p++) normal[7 * p] += 1e-9 * (normal[0] + 1e-9);
  return solveCholesky(cholesky(normal, 6), 6, right);
}

/** What of the light is left on the target's bare card once the sheet's is taken out: largest over smallest, minus 1; null: no such card. */
export function whiteMisfit(
  surround: readonly SurroundReading[],
  field: FlatField | null,
  curves: Curves,
): number | null {
  if (field === null) return null;
  const places = surround.map((reading) => reading.placeMm);
  const light = linearLight(surround, curves).map(([r, g, b], i): [number, number, number] => [
    r / lightAt(field, 0, places[i]),
    g / lightAt(field, 1, places[i]),
    b / lightAt(field, 2, places[i]),
  ]);
  const left = fitLight(places, light);
  if (left === null) return null;
  const values = places.map((place) => lightAt(left, 1, place));
  return Math.max(...values) / Math.min(...values) - 1;
}

/** Where the sheet leaves off, in words; null when it covers the target and nearly all of the bed that was scanned with it. */
export function whiteShortOf(
  white: WhiteSheet,
  readings: readonly Pick<PatchReading, 'centreMm'>[],
): { readonly words: string; readonly target: boolean } | null {
  const [x, y, width, height] = white.boxMm;
  const beyond = readings.filter(
    ({ centreMm: [px, py] }) =>
      px < x - NEAR_MM || py < y - NEAR_MM || px > x + width + NEAR_MM || py > y + height + NEAR_MM,
  ).length;
  const covers = `The white sheet tells the light from ${x.toFixed(0)} to ${(x + width).toFixed(0)} mm across and from ${y.toFixed(0)} to ${(y + height).toFixed(0)} mm along the bed`;
  if (beyond > 0) {
    return {
      target: true,
      words: `${covers}; ${beyond} of ${readings.length} patches lie beyond, where the light is taken as at its edge. Scan a sheet that covers the bed, or lay the target further in.`,
    };
  }
  const [, , bedWidth, bedHeight] = white.scanMm;
  if (width >= MOST_OF_BED * bedWidth && height >= MOST_OF_BED * bedHeight) return null;
  return {
    target: false,
    words: `${covers}, of ${bedWidth.toFixed(0)} × ${bedHeight.toFixed(0)} mm scanned; beyond, the light is taken as at its edge. Measure inside it, or scan a sheet that covers the bed.`,
  };
}
