/** What a lane's dyes and a strip's tideline do to the light, in tables. */
import { CELL_MM } from './chromatography.ts';
import type { Profile } from './chromatography.ts';
import { filmReflectance } from './film.ts';
import type { Ink } from './ink.ts';
import type { Paper } from './paper.ts';
import { stream } from './random.ts';
import { toSignal } from './scanner.ts';
import type { Scanner, Triple } from './scanner.ts';
import { WAVELENGTHS, edge } from './spectra.ts';
import { mixture } from './stripTruth.ts';

export interface StripOrder {
  readonly seed: number;
  readonly run: 'fresh' | 'dried';
  readonly ink: Ink;
  readonly paper: Paper;
  readonly scanner: Scanner;
}

/** Steps of filling in the table, and the fullest of them; the lane's middle is at 1. */
const LEVELS = 25;
const FULLEST = 1.2;

/** Signal over paper by height above the origin (CELL_MM) and filling of the lane (LEVELS up to FULLEST), interleaved RGB. */
export interface LaneTable {
  readonly fromMm: number;
  readonly heights: number;
  readonly ratio: Float32Array;
}

export function laneTable(order: StripOrder, profiles: readonly Profile[]): LaneTable {
  const { ink, paper, scanner } = order;
  const heights = profiles[0].moved.length;
  const ratio = new Float32Array(heights * LEVELS * 3).fill(1);
  const bare = toSignal(scanner, paper.reflectance);
  for (let h = 0; h < heights; h++) {
    const doses = profiles.map((p) => p.moved[h] + p.bound[h]);
    if (doses.every((d) => d < 1e-5)) continue;
    for (let level = 1; level < LEVELS; level++) {
      const fill = (FULLEST * level) / (LEVELS - 1);
      const s = toSignal(
        scanner,
        mixture(
          paper.reflectance,
          doses.map((d, i) => [i, d * fill] as const),
          ink,
        ),
      );
      const at = 3 * (h * LEVELS + level);
      for (let c = 0; c < 3; c++) ratio[at + c] = s[c] / bare[c];
    }
  }
  return { fromMm: profiles[0].fromMm, heights, ratio };
}

export interface StripMarks {
  /** Signal over paper of the tideline at its darkest: paper's own soluble brown, gathered by the front. */
  readonly tide: Triple;
}

export function stripMarks(order: StripOrder): StripMarks {
  const { paper, scanner } = order;
  const depth = stream(order.seed, `tide/${order.run}`).range(0.03, 0.09);
  const brown = paper.reflectance.map((r, l) =>
    filmReflectance(r, depth * (0.15 + 1 - edge(WAVELENGTHS[l], 470, 120)), 0),
  );
  const bare = toSignal(scanner, paper.reflectance);
  const s = toSignal(scanner, brown);
  return { tide: [s[0] / bare[0], s[1] / bare[1], s[2] / bare[2]] };
}

/** Multiplies a pixel by the lane's colour, bilinear in height and filling. */
export function dye(data: Float32Array, i: number, colours: LaneTable, height: number, fill: number): void {
  const h = Math.min(colours.heights - 1.001, Math.max(0, (height - colours.fromMm) / CELL_MM));
  const f = Math.min(LEVELS - 1.001, (fill / FULLEST) * (LEVELS - 1));
  const h0 = Math.floor(h);
  const f0 = Math.floor(f);
  const u = h - h0;
  const v = f - f0;
  const at = 3 * (h0 * LEVELS + f0);
  const next = 3 * LEVELS;
  const { ratio } = colours;
  for (let c = 0; c < 3; c++) {
    const low = ratio[at + c] * (1 - v) + ratio[at + 3 + c] * v;
    const high = ratio[at + next + c] * (1 - v) + ratio[at + next + 3 + c] * v;
    data[i + c] *= low * (1 - u) + high * u;
  }
}
