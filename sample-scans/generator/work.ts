/** What all scans of one bench share while they are rendered. */
import type { Ink } from './ink.ts';
import type { ScanId, UsedOptions } from './options.ts';
import type { PaperClass } from './paper.ts';
import type { Scanner, Triple } from './scanner.ts';

export interface Work {
  readonly seed: number;
  readonly options: UsedOptions;
  readonly ink: Ink;
  readonly inkName: string;
  readonly scanner: Scanner;
  /** Signal of the lid. */
  readonly lid: Triple;
}

export const FILES: Record<ScanId, string> = {
  target: 'target.png',
  white: 'white.png',
  yellow: 'yellow.png',
  'strip-fresh': 'strip-fresh.png',
  'strip-dried': 'strip-dried.png',
};

export const PAPER_NAMES: Record<PaperClass, string> = {
  brightWhite: 'bright white, smooth',
  ivory: 'ivory laid',
  yellow: 'yellow, dyed',
  green: 'pale green, dyed',
  grey: 'grey board',
  filter: 'filter paper',
  cardStock: 'card stock',
};
