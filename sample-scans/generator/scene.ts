/** What lies on the glass, painted band by band as linear signals, so that memory does not grow with the page. */
import type { Triple } from './scanner.ts';

/** Rows of a scan while they are painted. Interleaved RGB: red of (x, row) is data[3 * ((row − firstRow) * widthPx + x)]. */
export interface Band {
  readonly data: Float32Array;
  readonly widthPx: number;
  /** May lie above the scan's top: the blur looks over the edge. */
  readonly firstRow: number;
  readonly rows: number;
  readonly pxPerMm: number;
}

export interface Scene {
  readonly widthMm: number;
  readonly heightMm: number;
  paint(band: Band): void;
}

/** A sheet's place on the glass: its own mm (origin at its top left) turned about its centre and moved. */
export interface Placement {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly centreMm: readonly [x: number, y: number];
  /** Clockwise as seen in the scan. */
  readonly angleDeg: number;
}

export type PointMm = readonly [x: number, y: number];

export function toScan(place: Placement, p: PointMm): PointMm {
  const { cos, sin } = turn(place);
  const x = p[0] - place.widthMm / 2;
  const y = p[1] - place.heightMm / 2;
  return [place.centreMm[0] + cos * x - sin * y, place.centreMm[1] + sin * x + cos * y];
}

export function turn(place: Placement): { cos: number; sin: number } {
  const a = (place.angleDeg * Math.PI) / 180;
  return { cos: Math.cos(a), sin: Math.sin(a) };
}

/** The smallest upright box in the scan that holds a box of the sheet. */
export function boxInScan(
  place: Placement,
  box: readonly [x: number, y: number, w: number, h: number],
): [number, number, number, number] {
  const [x, y, w, h] = box;
  const corners = (
    [
      [x, y],
      [x + w, y],
      [x + w, y + h],
      [x, y + h],
    ] as const
  ).map((p) => toScan(place, p));
  const left = Math.min(...corners.map((c) => c[0]));
  const top = Math.min(...corners.map((c) => c[1]));
  return [left, top, Math.max(...corners.map((c) => c[0])) - left, Math.max(...corners.map((c) => c[1])) - top];
}

/** The scanner's lid, even. */
export function paintLid(band: Band, lid: Triple): void {
  const { data } = band;
  for (let i = 0; i < data.length; i += 3) {
    data[i] = lid[0];
    data[i + 1] = lid[1];
    data[i + 2] = lid[2];
  }
}
