/** What a chromatography strip is to the program: what goes in, what is told of it. */
import type { CompiledCalibration } from '../../calibrate/apply.ts';
import type { Flag, LabValue, Quantity, UncertaintyParts } from '../../quantity.ts';
import type { LinearRaster } from '../../raster/raster.ts';

export type Travel = 'up' | 'down' | 'left' | 'right';

export interface StripInput {
  /** Region id. */
  readonly id: string;
  /** The region's box, linear device signals, flat-fielded; white is about 1. */
  readonly signal: LinearRaster;
  readonly calibration: CompiledCalibration;
  /** Which way the liquid moved. Where origin and front are both given they decide the direction and this only the axis. */
  readonly travel: Travel;
  /** From the box's top edge down, or from its left edge when the liquid moved left or right; null: it is looked for. */
  readonly originMm: number | null;
  readonly frontMm: number | null;
  readonly run: 'fresh' | 'dried' | null;
  /** Seconds that the liquid ran; null or left out: not told. */
  readonly runS?: number | null;
  /** What a person says of the bands; the fit follows. Needs origin and front. */
  readonly bands?: readonly BandByHand[];
}

/** A person's word about one place: a band is there, none is, or it is one dye with the band at another place. */
export type BandByHand =
  | { readonly says: 'band' | 'none'; readonly rF: number }
  | { readonly says: 'one'; readonly rF: number; readonly with: number };

export interface StripOptions {
  /** Bins of the profile along the run, mm, rounded to whole pixels. @default 0.34 */
  readonly binMm?: number;
  /** Share of the lane's width that is read: its flanks are thinner, and bands bow back there. @default 0.45 */
  readonly laneMiddle?: number;
  /** How far real bands stray from the fit's shapes, share of their density. @default 0.03 */
  readonly shapeError?: number;
  /** How far a band's colour strays along it, share of its density. @default 0.015 */
  readonly colourError?: number;
  /** Material whose middle lies within this of the origin line has not left it, mm. @default 1.5 */
  readonly originReachMm?: number;
  /** Components of the fit at most. @default 9 */
  readonly mostBands?: number;
  /** Fresh draws of the bootstrap. @default 40 */
  readonly repeats?: number;
}

export const STRIP_DEFAULTS = {
  binMm: 0.34,
  laneMiddle: 0.45,
  shapeError: 0.03,
  colourError: 0.015,
  originReachMm: 1.5,
  mostBands: 9,
  repeats: 40,
} satisfies Required<StripOptions>;

/** A number with its standard uncertainty in parts; null where it cannot be told. */
export interface Told {
  readonly value: number;
  readonly parts: UncertaintyParts & {
    readonly repeatability: number;
    readonly calibration: number;
    readonly placement: number;
  };
}

export interface Band {
  /** From 1 by R_F. */
  readonly number: number;
  /** Place in the box, mm from its top (or left) edge. */
  readonly apexMm: number;
  /** Where the band has half its height, mm from the box's top (or left) edge, ascending: `widthMm` lies between them. */
  readonly spanMm: readonly [from: number, to: number];
  /** null without origin or front. */
  readonly rF: Told | null;
  readonly centroid: Told | null;
  readonly widthMm: Told;
  readonly tail: Told;
  /** Between the tangents of its flanks, mm. */
  readonly baseMm: number;
  /** To the next band. */
  readonly resolution: Told | null;
  /** The band's own densities at its apex, one a channel. */
  readonly heights: readonly [number, number, number];
  /** Their standard uncertainties. */
  readonly uHeights: readonly [number, number, number];
  readonly colour: LabValue;
  readonly colourParts: UncertaintyParts & {
    readonly repeatability: LabValue;
    readonly calibration: LabValue;
    readonly placement: LabValue;
  };
  readonly sharePercent: Told;
  /** Density of the band alone at the profile's places, one curve a channel. */
  readonly alone: readonly [Float64Array, Float64Array, Float64Array];
  readonly flags: readonly Flag[];
}

export interface StripProfileView {
  /** mm from the box's top (or left) edge, ascending. */
  readonly positionMm: Float64Array;
  /** Absorbance above the strip's own paper, one curve a channel. */
  readonly absorbance: readonly [Float64Array, Float64Array, Float64Array];
  readonly fitted: readonly [Float64Array, Float64Array, Float64Array];
  /** Standard deviation of the absorbance by chance, one a channel. */
  readonly noise: readonly [number, number, number];
  /** Signals of the bare paper, the mean along the run; left out: measured before this was kept, or nothing seen. */
  readonly paper?: readonly [number, number, number];
  /** The lane's colour at each place. */
  readonly lab: readonly LabValue[];
}

export interface StripMeasure {
  readonly id: string;
  /** Which way the liquid moved, as the two ends say where both were given. */
  readonly travel: Travel;
  readonly quantities: readonly Quantity[];
  readonly profile: StripProfileView;
  readonly bands: readonly Band[];
  /** How its dyes add where they lie over each other (addition.ts). */
  readonly law: 'densities' | 'layer';
  readonly originRetained: Told | null;
  /** Origin to front, mm. */
  readonly frontDistance: Told | null;
  readonly originMm: number | null;
  readonly frontMm: number | null;
  readonly flags: readonly Flag[];
}

/** With its doubts apart, all in the value's unit. */
export function told(value: number, repeatability: number, placement: number, calibration = 0): Told {
  return { value, parts: { repeatability, calibration, placement } };
}

/** The three parts in quadrature. */
export function uncertaintyOf(t: Told): number {
  return Math.hypot(t.parts.repeatability, t.parts.calibration, t.parts.placement);
}

/** Each flag once, in the order in which they are first named. */
export function union(...lists: readonly (readonly Flag[])[]): Flag[] {
  return [...new Set(lists.flat())];
}
