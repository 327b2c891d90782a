/** What a picture or a plot of one region's edges needs; plain data, bounded in size whatever the region holds. */
import type { LabValue } from '../../quantity.ts';

/** Places are px of the region, continuous: its top left pixel covers 0..1 both ways. */
export type PlacePx = readonly [x: number, y: number];

export interface EdgeDetail {
  /** Edges as they were found at fractions of a pixel. Ends, crossings and places where no edge could be told break a line. */
  readonly edges: readonly EdgeLine[];
  /** Some of the widths that `lineWidth` is the mean of, evenly along the strokes, each from edge to edge. */
  readonly whiskers: readonly EdgeWhisker[];
  /** Hairs that `feathering` counts, longest first, each from the edge's smooth path to its tip. */
  readonly hairs: readonly EdgeHair[];
  /** Null: no ring was found. */
  readonly halo: EdgeHalo | null;
  /** Across an edge from paper to ink, the mean of all, each first moved so that its edge lies at 0. Null: too few edges. */
  readonly profile: EdgeProfile | null;
}

export interface EdgeLine {
  /** x, y, x, y … px of the region. */
  readonly points: readonly number[];
}

export interface EdgeWhisker {
  readonly from: PlacePx;
  readonly to: PlacePx;
  readonly widthMm: number;
}

export interface EdgeHair {
  readonly from: PlacePx;
  readonly to: PlacePx;
  readonly lengthMm: number;
}

export interface EdgeHalo {
  /** The ring lies between these distances outwards from the edge, mm; `fromMm` is about 0. */
  readonly fromMm: number;
  readonly toMm: number;
  readonly lab: LabValue;
  readonly paperLab: LabValue;
}

/** All lists are as long as `distanceMm`. */
export interface EdgeProfile {
  /** From the edge, mm, ascending: negative outside (paper), positive inside (ink). */
  readonly distanceMm: readonly number[];
  /** Linear contrast along the direction in which paper and ink differ most: 0 on paper, 1 in the ink's core. */
  readonly contrast: readonly number[];
  /** The model that the edge, its blur and a halo were read from; null where none was fitted. */
  readonly fitted: readonly number[] | null;
  readonly lab: readonly LabValue[];
  /** 10–90 % and 10–70 % distance as scanned, mm, and the scanner's own share of the former; null: not known. */
  readonly scannedBlurMm: number | null;
  readonly blur70Mm: number | null;
  readonly scannerBlurMm: number | null;
}
