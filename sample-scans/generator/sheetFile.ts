/** The sheet that ties a bench's files together: `wetline-sheet/1`, as the contract has it. */
import type { Travel } from './options.ts';
import type { PageRegion } from './page.ts';

export interface StripRegion {
  readonly id: string;
  readonly kind: 'strip';
  readonly boxMm: readonly [number, number, number, number];
  readonly run: 'fresh' | 'dried';
  readonly originMm: number;
  readonly frontMm: number;
  readonly travel: Travel;
}

export interface SheetFile {
  readonly format: 'wetline-sheet/1';
  readonly ink: { readonly name: string; readonly maker: string };
  readonly target?: { readonly scan: string; readonly layout: string; readonly reference: string };
  readonly scans: readonly {
    readonly id: string;
    readonly file: string;
    readonly paper: string;
    readonly side: 'front';
    readonly dpi: number;
  }[];
  readonly regions: readonly ((PageRegion | StripRegion) & { readonly scan: string })[];
}
