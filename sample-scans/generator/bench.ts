/** A whole bench from one seed: an ink, papers, a card and a scanner; their scans, the sheet that ties them, and the truth. */
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { xyzToLab, xyzToLabWhite } from '../../analysis/colour/lab.ts';
import type { LabD50, Xyz } from '../../analysis/colour/lab.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { cardInk, drawCard, paintCard } from './card.ts';
import type { Card } from './card.ts';
import { CARD } from './cardLayout.ts';
import { labText, measuredPatches, spectraText } from './cgats.ts';
import { doseTable } from './doseTable.ts';
import { expose } from './expose.ts';
import { drawInk } from './ink.ts';
import type { Ink } from './ink.ts';
import type { InkField } from './inkField.ts';
import { toneTruth } from './inkTruth.ts';
import type { Lab, ToneTruth } from './inkTruth.ts';
import { inkName, MAKER } from './names.ts';
import { BENCH_DEFAULTS } from './options.ts';
import type { BenchOptions, ScanId, UsedOptions } from './options.ts';
import { pageScene, pageTruth, writePage } from './page.ts';
import type { RegionTruth } from './page.ts';
import { WHITE_PAGE, YELLOW_PAGE } from './pagePlan.ts';
import { drawPaper } from './paper.ts';
import type { Paper } from './paper.ts';
import { stream } from './random.ts';
import { drawScanner, toSignal } from './scanner.ts';
import type { Scanner, Triple } from './scanner.ts';
import { paintLid, toScan } from './scene.ts';
import type { Placement } from './scene.ts';
import { layPaper, paintPaper } from './sheetOfPaper.ts';
import type { SheetFile } from './sheetFile.ts';
import { toXyz } from './spectra.ts';
import { renderStrip } from './strip.ts';
import type { StripTruth } from './stripTruth.ts';

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
  /** Null with `target: false`. */
  readonly card: {
    readonly layout: TargetLayout;
    readonly referenceText: string;
    readonly referenceSpectraText: string;
  } | null;
  readonly truth: BenchTruth;
  /** By region id, with `keepFields`. */
  readonly fields: ReadonlyMap<string, InkField>;
}

/** README, "truth", says what each number is. */
export interface BenchTruth {
  readonly format: 'wetline-sample-truth/1';
  readonly seed: number;
  readonly ink: {
    readonly kind: string;
    readonly absorption: number[];
    readonly scatter: number;
    readonly dyes: object[];
  };
  readonly scanner: {
    readonly lamp: string;
    readonly sensitivity: number[][];
    readonly blurSdMm: number;
    readonly noise: object;
    readonly tone: object;
    readonly flare: Triple;
    readonly light: object;
  };
  readonly target: TargetTruth | null;
  readonly pages: Readonly<Record<string, PageTruth>>;
  readonly strips: Readonly<Record<string, StripTruth>>;
  /** ΔE00 between the nibs of one paper: [first region, second region, value]. */
  readonly nibShading: readonly (readonly [string, string, number])[];
  readonly toneShift: readonly { readonly regions: readonly [string, string]; readonly truth: ToneTruth }[];
}

export interface PageTruth {
  readonly scan: string;
  /** Reflectance of the paper, 380–730 nm by 10 nm. */
  readonly paper: number[];
  readonly place: Placement;
  readonly regions: Readonly<Record<string, RegionTruth>>;
}

export interface TargetTruth {
  readonly place: Placement;
  /** Middles of the four discs in px (a pixel's middle is at whole + 0.5) and in mm of the scan. */
  readonly fiducialsPx: readonly (readonly [number, number])[];
  readonly fiducialsMm: readonly (readonly [number, number])[];
  readonly stock: Lab;
  /** Exact, before the instrument's error. */
  readonly patches: Readonly<Record<string, Lab>>;
}

const LID = 0.8;
const FILES: Record<ScanId, string> = {
  target: 'target.png',
  white: 'white.png',
  yellow: 'yellow.png',
  'strip-fresh': 'strip-fresh.png',
  'strip-dried': 'strip-dried.png',
};

export function renderBench(seed: number, options: BenchOptions = {}): Bench {
  const used: UsedOptions = { ...BENCH_DEFAULTS, ...options };
  const ink = drawInk(used.inkSeed ?? seed, used.dyes === undefined ? {} : { dyes: used.dyes });
  const scanner = drawScanner(used.scannerSeed ?? seed, {
    noise: used.noise,
    unevenLight: used.unevenLight,
    clipped: used.clipped,
    ...(used.lamp === undefined ? {} : { lamp: used.lamp }),
  });
  const name = inkName(used.inkSeed ?? seed, ink.kind);
  const work: Work = {
    seed,
    used,
    ink,
    scanner,
    name,
    lid: toSignal(
      scanner,
      Array.from({ length: 36 }, () => LID),
    ),
  };
  const wants = (id: ScanId): boolean => used.scans.includes(id);

  const target = used.target && wants('target') ? renderTarget(work) : null;
  const pages = (['white', 'yellow'] as const).filter(wants).map((id) => renderPage(work, id));
  const strips = (['strip-fresh', 'strip-dried'] as const).filter(wants).map((id) => renderStripScan(work, id));

  return {
    seed,
    options: used,
    scans: [...(target ? [target.scan] : []), ...pages.map((p) => p.scan), ...strips.map((s) => s.scan)],
    sheet: {
      format: 'wetline-sheet/1',
      ink: { name, maker: MAKER },
      ...(target ? { target: { scan: FILES.target, layout: 'layout.json', reference: 'reference.txt' } } : {}),
      scans: [...pages, ...strips].map((s) => ({
        id: s.scan.id,
        file: s.scan.file,
        paper: s.paperName,
        side: 'front',
        dpi: used.dpi,
      })),
      regions: [...pages, ...strips].flatMap((s) => s.regions.map((r) => withScan(r, s.scan.id))),
    },
    card: target ? target.card : null,
    truth: {
      format: 'wetline-sample-truth/1',
      seed,
      ink: {
        kind: ink.kind,
        absorption: [...ink.absorption],
        scatter: ink.scatter,
        dyes: ink.dyes.map((d) => ({ ...d, absorption: [...d.absorption] })),
      },
      scanner: {
        lamp: scanner.lamp,
        sensitivity: scanner.sensitivity.map((s) => [...s]),
        blurSdMm: scanner.blurSdMm,
        noise: { photon: scanner.photonNoise, read: scanner.readNoise },
        tone: scanner.tone,
        flare: scanner.flare,
        light: scanner.light,
      },
      target: target ? target.truth : null,
      pages: Object.fromEntries(pages.map((p) => [p.scan.id, p.truth])),
      strips: Object.fromEntries(strips.map((s) => [s.regions[0].id, s.truth])),
      nibShading: pages.flatMap((p) => nibPairs(p.truth)),
      toneShift: pages.length === 2 ? tonePairs(pages[0].truth, pages[1].truth) : [],
    },
    fields: new Map(used.keepFields ? pages.flatMap((p) => [...p.fields]) : []),
  };
}

interface Work {
  readonly seed: number;
  readonly used: UsedOptions;
  readonly ink: Ink;
  readonly scanner: Scanner;
  readonly name: string;
  readonly lid: Triple;
}

function withScan<R extends { readonly id: string }>(region: R, scan: string): R & { readonly scan: string } {
  const { id, ...rest } = region;
  return { id, scan, ...rest } as unknown as R & { readonly scan: string };
}

function renderTarget(work: Work): { scan: BenchScan; card: NonNullable<Bench['card']>; truth: TargetTruth } {
  const { seed, used, scanner } = work;
  const cardSeed = used.cardSeed ?? seed;
  const card: Card = drawCard(cardSeed);
  const random = stream(seed, 'place/card');
  const angleDeg = used.cardRotationDeg ?? random.range(-2, 2);
  const a = (angleDeg * Math.PI) / 180;
  const spread = (w: number, h: number): number => Math.abs(w * Math.cos(a)) + Math.abs(h * Math.sin(a));
  const widthMm = Math.ceil(spread(CARD.widthMm, CARD.heightMm) + 8);
  const heightMm = Math.ceil(spread(CARD.heightMm, CARD.widthMm) + 8);
  const place: Placement = {
    widthMm: CARD.widthMm,
    heightMm: CARD.heightMm,
    centreMm: [widthMm / 2 + random.range(-1.5, 1.5), heightMm / 2 + random.range(-1.5, 1.5)],
    angleDeg,
  };
  const stock = toSignal(scanner, card.stock.reflectance);
  const sheet = layPaper(seed, 'card', card.stock, stock, place, 0.6 * used.texture);
  const print = cardInk(card, scanner);
  const scene = {
    widthMm,
    heightMm,
    paint: (band: Parameters<typeof paintLid>[0]): void => {
      paintLid(band, work.lid);
      paintPaper(band, sheet);
      paintCard(band, place, card, print);
    },
  };
  const raster = expose(scene, scanner, used, stream(seed, 'noise/target'));
  const measured = measuredPatches(cardSeed, card);
  const fiducialsMm = card.layout.pointsMm.map((p) => toScan(place, [p[0] + CARD.marginMm, p[1] + CARD.marginMm]));
  const pxPerMm = used.dpi / 25.4;
  return {
    scan: { id: 'target', file: FILES.target, raster },
    card: {
      layout: card.layout,
      referenceText: labText(card, measured),
      referenceSpectraText: spectraText(card, measured),
    },
    truth: {
      place,
      fiducialsMm,
      fiducialsPx: fiducialsMm.map((p) => [p[0] * pxPerMm, p[1] * pxPerMm] as const),
      stock: xyzToLab(toXyz(card.stock.reflectance)),
      patches: Object.fromEntries(card.layout.patches.map((p, i) => [p.id, xyzToLab(toXyz(card.patches[i]))])),
    },
  };
}

function renderPage(work: Work, id: 'white' | 'yellow') {
  const { seed, used, ink, scanner } = work;
  const plan = id === 'white' ? WHITE_PAGE : YELLOW_PAGE;
  const kind = id === 'white' ? used.whitePaper : used.colouredPaper;
  const paper: Paper = drawPaper(used.paperSeed ?? seed, kind, id);
  const random = stream(seed, `place/${id}`);
  const place: Placement = {
    widthMm: plan.widthMm,
    heightMm: plan.heightMm,
    centreMm: [plan.widthMm / 2 + random.range(-0.6, 0.8), plan.heightMm / 2 + random.range(-0.6, 0.8)],
    angleDeg: random.range(-0.4, 0.4),
  };
  const table = doseTable(ink, paper.reflectance, scanner);
  const page = writePage({ seed, handSeed: used.handSeed ?? seed, plan, place, dpi: used.dpi, inkName: work.name });
  const sheet = layPaper(used.paperSeed ?? seed, id, paper, toSignal(scanner, paper.reflectance), place, used.texture);
  const scene = pageScene([plan.widthMm + 2, plan.heightMm + 2], work.lid, sheet, page, table);
  const raster = expose(scene, scanner, used, stream(seed, `noise/${id}`));
  const paperLab = xyzToLab(toXyz(paper.reflectance));
  const truth: PageTruth = {
    scan: id,
    paper: [...paper.reflectance],
    place,
    regions: pageTruth(page, table, paperLab),
  };
  return {
    scan: { id, file: FILES[id], raster } satisfies BenchScan,
    paperName: PAPER_NAMES[kind],
    regions: page.regions,
    fields: page.fields,
    truth,
  };
}

const PAPER_NAMES: Record<Paper['kind'], string> = {
  brightWhite: 'bright white, smooth',
  ivory: 'ivory laid',
  yellow: 'yellow, dyed',
  green: 'pale green, dyed',
  grey: 'grey board',
  filter: 'filter paper',
  cardStock: 'card stock',
};

function renderStripScan(work: Work, id: 'strip-fresh' | 'strip-dried') {
  const { seed, used, ink, scanner } = work;
  const run = id === 'strip-fresh' ? 'fresh' : 'dried';
  const paper = drawPaper(used.paperSeed ?? seed, 'filter', 'strip');
  const made = renderStrip({ seed, run, ink, paper, scanner, options: used, lid: work.lid });
  return {
    scan: { id, file: FILES[id], raster: made.raster } satisfies BenchScan,
    paperName: PAPER_NAMES.filter,
    regions: [made.region],
    truth: made.truth,
  };
}

function nibPairs(page: PageTruth): [string, string, number][] {
  const nibs = Object.entries(page.regions).filter(([, r]) => r.kind === 'strokes');
  return nibs.flatMap(([a, first], i) =>
    nibs.slice(i + 1).map(([b, second]): [string, string, number] => [a, b, deltaE2000(labOf(first), labOf(second))]),
  );
}

function labOf(region: RegionTruth): LabD50 {
  return xyzToLab(xyzOf(region));
}

function xyzOf(region: RegionTruth): Xyz {
  if (!region.colour) throw new Error('This region holds no ink.');
  return region.colour.xyz;
}

function tonePairs(first: PageTruth, second: PageTruth): BenchTruth['toneShift'] {
  const papers = [toXyz(first.paper), toXyz(second.paper)] as const;
  return Object.keys(first.regions)
    .filter((id) => first.regions[id].colour)
    .map((id) => {
      const other = id.replace(first.scan, second.scan);
      const inks = [xyzOf(first.regions[id]), xyzOf(second.regions[other])] as const;
      const adapted = [0, 1].map((k) => xyzToLabWhite(inks[k], papers[k]) as LabD50) as [LabD50, LabD50];
      return { regions: [id, other] as const, truth: toneTruth(inks, adapted) };
    });
}
