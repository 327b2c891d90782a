/** The shape of the truth; README, "Truth", says how each number is made. */
import type { Lab, ToneTruth } from './inkTruth.ts';
import type { RegionTruth } from './page.ts';
import type { BedLight, ToneLaw, Triple } from './scanner.ts';
import type { Placement } from './scene.ts';
import type { StripTruth } from './stripTruth.ts';

export interface BenchTruth {
  readonly format: 'wetline-sample-truth/1';
  readonly seed: number;
  readonly ink: InkRecord;
  readonly scanner: ScannerRecord;
  readonly target: TargetTruth | null;
  /** By scan id. */
  readonly pages: Readonly<Record<string, PageTruth>>;
  /** By region id. */
  readonly strips: Readonly<Record<string, StripTruth>>;
  /** ΔE00 between the nibs of one paper: first region, second region, value. */
  readonly nibShading: readonly (readonly [string, string, number])[];
  readonly toneShift: readonly { readonly regions: readonly [string, string]; readonly truth: ToneTruth }[];
}

/** Curves are on 380–730 nm by 10 nm. */
export interface InkRecord {
  readonly kind: string;
  readonly absorption: readonly number[];
  readonly scatter: number;
  readonly strength: number;
  readonly dyes: readonly {
    readonly family: string;
    readonly absorption: readonly number[];
    readonly mobility: number;
    readonly boundFresh: number;
    readonly boundDried: number;
  }[];
}

export interface ScannerRecord {
  readonly lamp: string;
  readonly sensitivity: readonly (readonly number[])[];
  readonly tone: readonly ToneLaw[];
  readonly flare: Triple;
  readonly blurSdMm: number;
  readonly photonNoise: number;
  readonly readNoise: number;
  readonly light: BedLight;
  readonly lid: number;
}

export interface PageTruth {
  readonly scan: string;
  /** Reflectance of the paper, 380–730 nm by 10 nm. */
  readonly paper: readonly number[];
  readonly place: Placement;
  readonly regions: Readonly<Record<string, RegionTruth>>;
}

export interface TargetTruth {
  readonly place: Placement;
  /** Middles of the four discs in px of the scan (a pixel's middle is at whole + 0.5) and in mm. */
  readonly fiducialsPx: readonly (readonly [number, number])[];
  readonly fiducialsMm: readonly (readonly [number, number])[];
  readonly stock: Lab;
  /** Exact, before the instrument's error. */
  readonly patches: Readonly<Record<string, Lab>>;
}
