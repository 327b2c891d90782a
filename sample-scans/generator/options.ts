/** What a bench may be asked for; everything left out is drawn from the seed. */
import type { PagePlan } from './pagePlan.ts';
import type { PaperClass } from './paper.ts';
import type { LampKind } from './scanner.ts';

export type ScanId = 'target' | 'white' | 'yellow' | 'strip-fresh' | 'strip-dried';
export const ALL_SCANS: readonly ScanId[] = ['target', 'white', 'yellow', 'strip-fresh', 'strip-dried'];
export type Travel = 'up' | 'down' | 'left' | 'right';

export interface BenchOptions {
  /** 150–1200; a whole page at 1200 needs about 1 GB. @default 300 */
  readonly dpi?: number;
  /** @default 16 */
  readonly bits?: 8 | 16;
  /** Bits that the scanner's converter resolves, 8–16, whatever it delivers. @default 12 */
  readonly converterBits?: number;
  /** Only these are rendered, and the sheet names only these. @default all */
  readonly scans?: readonly ScanId[];
  /** The sheet names the target's reference with spectra, not the one with Lab. @default false */
  readonly spectra?: boolean;
  /** false: no target scan, no layout, no reference; the sheet has no "target". @default true */
  readonly target?: boolean;
  /** Seeds of the parts; each is the bench's own seed when left out. Same inkSeed, other scannerSeed: the same ink on another scanner. */
  readonly inkSeed?: number;
  readonly scannerSeed?: number;
  readonly paperSeed?: number;
  readonly handSeed?: number;
  readonly cardSeed?: number;
  /** Dyes in the ink, so bands on a strip: 1–4. */
  readonly dyes?: number;
  /** Kind of ink (ink.ts), for instance 'yellow', which no seed draws by itself. */
  readonly inkKind?: string;
  /**
   * Reflectance that sheen adds where the ink absorbs most (sheen.ts); 0.1 is strong. Colours and shading in the truth stay those of the film beneath it.
   * @default none
   */
  readonly sheen?: number;
  readonly lamp?: LampKind;
  /** What is written on the scan 'white'; left out: an A5 page with three nibs. */
  readonly whitePlan?: PagePlan;
  /** Paper of the scan 'white'. @default 'brightWhite' */
  readonly whitePaper?: PaperClass;
  /** Paper of the scan 'yellow'. @default 'yellow' */
  readonly colouredPaper?: PaperClass;
  /** Clockwise turn of the card on the glass, any angle; the scan grows with it. Left out: within ±2°. */
  readonly cardRotationDeg?: number;
  /** Strips without ink (origin line and front stay). @default false */
  readonly blankStrip?: boolean;
  /** @default 'up' */
  readonly travel?: Travel;
  /** White set so high that paper clips. @default false */
  readonly clipped?: boolean;
  /** Factor on the scanner's noise. @default 1 */
  readonly noise?: number;
  /** Factor on the paper's fibres and formation. @default 1 */
  readonly texture?: number;
  /** Factor on the unevenness of the bed's light. @default 1 */
  readonly unevenLight?: number;
  /** Keep dose fields and layer masks in memory (`bench.fields`). @default false */
  readonly keepFields?: boolean;
}

export const BENCH_DEFAULTS = {
  dpi: 300,
  bits: 16,
  converterBits: 12,
  scans: ALL_SCANS,
  target: true,
  whitePaper: 'brightWhite',
  colouredPaper: 'yellow',
  blankStrip: false,
  travel: 'up',
  clipped: false,
  noise: 1,
  texture: 1,
  unevenLight: 1,
  keepFields: false,
} as const satisfies BenchOptions;

export type UsedOptions = BenchOptions & Required<Pick<BenchOptions, keyof typeof BENCH_DEFAULTS>>;
