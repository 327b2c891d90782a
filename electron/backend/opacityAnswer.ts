/**
 * What the window is told of an ink's layer and of what lies under it.
 * GET /api/inks/:ink/opacity → OpacityAnswer, of the ink as it was last measured.
 * GET /api/inks/:ink/prediction?pen=&paper= or ?pen=&L=&a=&b= [&from=region] → Prediction, of one paper by name or of a colour that a person picks.
 */
import type { Flag, LabValue, Quantity } from '../../analysis/quantity.ts';

export interface OpacityAnswer {
  /** One a nib, and one for swabs of each place, in the sheet's order: what lies on several papers is one pen's. */
  readonly pens: readonly OpacityPen[];
  /** Every paper of the shelf whose colour was measured, this ink's own first. */
  readonly papers: readonly ShelfPaper[];
  /** What cannot be told and what would change that; one line each, plain words. */
  readonly missing: readonly { readonly regions: readonly string[]; readonly words: string }[];
}

export interface ShelfPaper {
  readonly name: string;
  readonly lab: LabValue;
  /** Whether this ink lies on it. */
  readonly own: boolean;
}

export interface OpacityPen {
  /** Names it in `prediction?pen=`; stable between runs. */
  readonly key: string;
  /** 'broad nib', 'swab', 'second swab'. */
  readonly words: string;
  readonly nib: string | null;
  readonly kind: 'strokes' | 'swab' | 'bar';
  /** Palest paper first. */
  readonly samples: readonly OpacitySample[];
  /** Every two of them, the paler paper first. */
  readonly pairs: readonly OpacityPair[];
  readonly layer: OpacityLayer;
  /** On every paper of the shelf that this pen did not write on; empty where nothing can be foretold, and `layer.words` says why. */
  readonly predictions: readonly Prediction[];
  readonly check: LeftOutCheck | null;
}

export interface OpacitySample {
  readonly region: string;
  readonly scan: string;
  readonly paper: string;
  /** Ink and its bare paper against D50, told the same way as each other. */
  readonly lab: LabValue;
  readonly paperLab: LabValue;
  /** Ink with its own paper as the white: what an eye used to the page sees. */
  readonly adapted: LabValue;
  /** Standard uncertainty of `lab`; null: not told. */
  readonly u: LabValue | null;
  readonly by: 'film' | 'map';
}

/** The same pen on two papers: arrows from the first's colours to the second's. */
export interface OpacityPair {
  /** Regions, the one on the paler paper first: their samples hold the Lab of arrow and swatches. */
  readonly regions: readonly [string, string];
  /** Findings of this pair as they stand in the findings (toneShift with its parts, hiding); null: not told, for instance stale. */
  readonly toneShift: Quantity | null;
  readonly adapted: Quantity | null;
  readonly hiding: Quantity | null;
}

/** What is known of the layer that this pen puts down. */
export interface OpacityLayer {
  /** 'film-fit': from the ink's absorption curve; 'grounds': R0 and T of three channels; 'none': neither, and `words` says why. */
  readonly by: 'film-fit' | 'grounds' | 'none';
  /** One plain line: what it stands on, or what is missing and what to do. */
  readonly words: string;
  /** Per channel (long, middle, short wavelengths); null with `none`. */
  readonly channels: readonly LayerChannel[] | null;
  /** The finding `film`, with flags; null: it was not told. */
  readonly film: Quantity | null;
  /** Measured over a printed bar; empty: no bar with this pen. */
  readonly contrastRatios: readonly Quantity[];
  /** For standard grounds. */
  readonly foretoldContrastRatio: Quantity | null;
}

export interface LayerChannel {
  /** 'red', 'green', 'blue': light of long, middle, short wavelengths. */
  readonly name: string;
  /** Reflectance of the layer over perfect black, transmittance of one pass; each with its standard uncertainty. */
  readonly r0: number;
  readonly uR0: number;
  readonly t: number;
  readonly uT: number;
}

/** The ink on a ground where it was not measured. */
export interface Prediction {
  readonly pen: string;
  /** Paper's name; null: a colour that a person picked. */
  readonly paper: string | null;
  readonly ground: LabValue;
  readonly lab: LabValue;
  /** Standard uncertainty per component (shown as ± 2u): of the layer, of how much of it the pen puts down there, of the ground's spectrum. */
  readonly u: LabValue;
  /** With the ground as the white: what an eye used to that page will see. */
  readonly adapted: LabValue;
  /** ISCC–NBS name. */
  readonly name: string;
  readonly by: 'film-fit' | 'grounds';
  readonly flags: readonly Flag[];
  /** Median error of this pen where it was left out and measured, ΔE00; null: fewer than three papers (`not-checked`). Print it beside the colour. */
  readonly leftOutError: number | null;
  /** How far the layer hides this ground against the palest paper that the pen wrote on, at the same doses; its value null, with a flag: why no word can be told. */
  readonly hiding: Quantity | null;
  /** For the picture of the person's own writing on this ground; null: nothing to re-render. */
  readonly rendering: Rendering | null;
}

/**
 * Colours of one sample from bare paper to its densest ink, and the same on the new ground, step by step: a pixel's place on `from` (nearest point of the
 * polyline in Lab) is its place on `to`; what the pixel differs from `from` there is its texture, to be added to `to`.
 */
export interface Rendering {
  readonly region: string;
  readonly from: readonly LabValue[];
  readonly to: readonly LabValue[];
}

/** Each paper foretold from the others, where the pen lies on three or more. */
export interface LeftOutCheck {
  /** Median of `papers`' dE00. */
  readonly median: number;
  readonly papers: readonly {
    readonly paper: string;
    readonly region: string;
    readonly predicted: LabValue;
    readonly measured: LabValue;
    readonly dE00: number;
    readonly u: number;
  }[];
}
