/** A whole bench from one seed: an ink, papers, a card and a scanner; their scans, the sheet that ties them, and the truth. */
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { drawInk } from './ink.ts';
import type { InkField } from './inkField.ts';
import { inkName, MAKER } from './names.ts';
import { BENCH_DEFAULTS } from './options.ts';
import type { BenchOptions, ScanId, UsedOptions } from './options.ts';
import { renderPage } from './pageScan.ts';
import { nibPairs, tonePairs } from './pairTruth.ts';
import { drawScanner, toSignal } from './scanner.ts';
import type { SheetFile } from './sheetFile.ts';
import { WAVELENGTHS } from './spectra.ts';
import { renderStrip } from './strip.ts';
import { renderTarget } from './targetScan.ts';
import type { CardFiles } from './targetScan.ts';
import type { BenchTruth } from './truth.ts';
import { FILES, PAPER_NAMES } from './work.ts';
import type { Work } from './work.ts';

export type { BenchTruth } from './truth.ts';

export interface BenchScan {
  readonly id: ScanId;
  /** Name of its file, relative to the sheet. */
  readonly file: string;
  readonly raster: DeviceRaster;
}

export interface Bench {
  readonly seed: number;
  readonly options: UsedOptions;
  readonly scans: readonly BenchScan[];
  readonly sheet: SheetFile;
  /** Null without a target. */
  readonly card: CardFiles | null;
  readonly truth: BenchTruth;
  /** Dose, layers and interior by region id, with `keepFields`; else empty. */
  readonly fields: ReadonlyMap<string, InkField>;
}

/** Same seed and options, same bench to the last bit. */
export function renderBench(seed: number, options: BenchOptions = {}): Bench {
  const work = prepare(seed, { ...BENCH_DEFAULTS, ...options });
  const used = work.options;
  const wants = (id: ScanId): boolean => used.scans.includes(id);
  const target = used.target && wants('target') ? renderTarget(work) : null;
  const pages = (['white', 'yellow'] as const).filter(wants).map((id) => ({ id, ...renderPage(work, id) }));
  const strips = (['strip-fresh', 'strip-dried'] as const).filter(wants).map((id) => ({
    id,
    paperName: PAPER_NAMES.filter,
    ...renderStrip(work, id === 'strip-fresh' ? 'fresh' : 'dried'),
  }));
  return {
    seed,
    options: used,
    scans: [...(target ? [{ id: 'target' as const, raster: target.raster }] : []), ...pages, ...strips].map(
      ({ id, raster }) => ({ id, file: FILES[id], raster }),
    ),
    sheet: {
      format: 'wetline-sheet/1',
      ink: { name: work.inkName, maker: MAKER },
      ...(target
        ? {
            target: {
              scan: FILES.target,
              layout: 'layout.json',
              reference: options.spectra === true ? 'reference-spectra.txt' : 'reference.txt',
            },
          }
        : {}),
      scans: [...pages, ...strips].map(({ id, paperName }) => ({
        id,
        file: FILES[id],
        paper: paperName,
        side: 'front' as const,
        dpi: used.dpi,
      })),
      regions: [
        ...pages.flatMap((page) => page.regions.map(({ id, ...rest }) => ({ id, scan: page.id, ...rest }))),
        ...strips.map(({ id: scan, region: { id, ...rest } }) => ({ id, scan, ...rest })),
      ],
    },
    card: target ? target.card : null,
    truth: {
      format: 'wetline-sample-truth/1',
      seed,
      ink: inkRecord(work),
      scanner: scannerRecord(work),
      target: target ? target.truth : null,
      pages: Object.fromEntries(pages.map((p) => [p.id, p.truth])),
      strips: Object.fromEntries(strips.map((s) => [s.region.id, s.truth])),
      nibShading: pages.flatMap((p) => nibPairs(p.truth)),
      toneShift: pages.length === 2 ? tonePairs(pages[0].truth, pages[1].truth) : [],
    },
    fields: new Map(used.keepFields ? pages.flatMap((p) => [...p.fields]) : []),
  };
}

function prepare(seed: number, options: UsedOptions): Work {
  const inkSeed = options.inkSeed ?? seed;
  const { dyes, inkKind } = options;
  const ink = drawInk(inkSeed, {
    ...(dyes === undefined ? {} : { dyes }),
    ...(inkKind === undefined ? {} : { kind: inkKind }),
  });
  const { noise, unevenLight, clipped, lamp } = options;
  const scanner = drawScanner(options.scannerSeed ?? seed, {
    noise,
    unevenLight,
    clipped,
    ...(lamp === undefined ? {} : { lamp }),
  });
  const lid = toSignal(
    scanner,
    WAVELENGTHS.map(() => scanner.lid),
  );
  return { seed, options, ink, inkName: inkName(inkSeed, ink.kind), scanner, lid };
}

function inkRecord({ ink }: Work): BenchTruth['ink'] {
  return {
    kind: ink.kind,
    absorption: [...ink.absorption],
    scatter: ink.scatter,
    strength: ink.strength,
    dyes: ink.dyes.map((dye) => ({ ...dye, absorption: [...dye.absorption] })),
  };
}

function scannerRecord({ scanner }: Work): BenchTruth['scanner'] {
  return { ...scanner, sensitivity: scanner.sensitivity.map((s) => [...s]) };
}
