/**
 * A sheet of swabs on three papers, and a target whose spectra are known, rendered through several scanners and measured from their files as the
 * command line does: each ink by a sheet of its own, through the target's map and through the film.
 */
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import type { Calibration } from '../analysis/calibrate/calibration.ts';
import type { Flag, LabValue, Quantity } from '../analysis/quantity.ts';
import type { DeviceRaster } from '../analysis/raster/raster.ts';
import { triple } from '../analysis/triple.ts';
import { contentKey } from '../electron/jobs/contentKey.ts';
import { measureWith } from '../electron/jobs/measureSheet.ts';
import type { CalibrateResult, TaskRunner } from '../electron/jobs/tasks.ts';
import { loadSheet } from '../electron/sheet/sheet.ts';
import { BENCH_DEFAULTS } from '../sample-scans/generator/options.ts';
import { toSignal, type Scanner } from '../sample-scans/generator/scanner.ts';
import { renderTarget } from '../sample-scans/generator/targetScan.ts';
import { inThisThread } from './benchRun.ts';
import { BARE_MM, drawPages, PAGE_DPI, PAGE_INKS, renderPage, type SwabPage } from './scannerPages.ts';
import { WAVELENGTHS } from './spectra.ts';
import { anotherDay, threeScanners, type NamedScanner } from './unlikeScanners.ts';

/** A colour as it was told, one way or the other. */
export interface ToldColour {
  readonly lab: LabValue;
  readonly u: LabValue;
}

/** A region as one scanner's files gave it, beside the truth. */
export interface SheetColour extends ToldColour {
  readonly region: string;
  readonly paper: string;
  readonly subject: 'swab' | 'paper';
  /** Of a swab. */
  readonly ink: (typeof PAGE_INKS)[number] | null;
  readonly truth: LabValue;
  /** Through the target's map; the same as told where no film tells. */
  readonly byMap: ToldColour;
  readonly throughFilm: boolean;
  readonly flags: readonly Flag[];
  /** What of u is not the calibration's: repeatability and placement. */
  readonly noise: LabValue;
}

export interface SheetSeen {
  readonly scanner: string;
  readonly calibration: Calibration;
  readonly colours: readonly SheetColour[];
  /** All that was told of the swabs, and between them. */
  readonly findings: readonly Quantity[];
  /** Exact `swabVariation` by region. */
  readonly variations: Readonly<Record<string, number>>;
}

/** By a seed's three scanners (unlikeScanners.ts, 'mixed') and the first of them another day. */
export function sheetsOf(seed: number, withLater = true): Promise<SheetSeen[]> {
  const three = threeScanners(seed, 'mixed');
  const later = { name: `${three[0].name}, another day`, scanner: anotherDay(three[0].scanner, seed) };
  return seenSheets(seed, withLater ? [...three, later] : three);
}

/** @param runner of all tasks; the study's own thread when left out */
export async function seenSheets(
  seed: number,
  scanners: readonly NamedScanner[],
  runner: TaskRunner = inThisThread,
): Promise<SheetSeen[]> {
  const pages = drawPages(seed);
  const seen: SheetSeen[] = [];
  for (const [n, { name, scanner }] of scanners.entries()) {
    const dir = await mkdtemp(join(tmpdir(), 'wetline-scanners-'));
    try {
      seen.push({ scanner: name, ...(await measured(dir, seed, n, scanner, pages, calibratingOnce(runner))) });
    } finally {
      await rm(dir, { recursive: true, force: true });
    }
  }
  return seen;
}

interface Truth {
  readonly paper: string;
  readonly subject: 'swab' | 'paper';
  readonly ink: SheetColour['ink'];
  readonly lab: LabValue;
}

async function measured(
  dir: string,
  seed: number,
  n: number,
  scanner: Scanner,
  pages: readonly SwabPage[],
  runner: TaskRunner,
): Promise<Omit<SheetSeen, 'scanner'>> {
  const white = toSignal(
    scanner,
    WAVELENGTHS.map(() => scanner.lid),
  );
  const options = { ...BENCH_DEFAULTS, dpi: PAGE_DPI, cardSeed: seed };
  const work = { seed: 10 * seed + n, options, ink: pages[0].swabs[0].ink, inkName: '', scanner, lid: white };
  const { raster, card } = renderTarget(work);
  await write(dir, 'target', raster);
  await writeFile(join(dir, 'layout.json'), JSON.stringify(card.layout));
  await writeFile(join(dir, 'reference.txt'), card.referenceSpectraText);
  const truths = new Map<string, Truth>();
  for (const page of pages) {
    await write(dir, page.id, renderPage(page, seed, n, scanner, white));
    truths.set(`bare-${page.id}`, { paper: page.id, subject: 'paper', ink: null, lab: page.bare });
    for (const { id, row, truth } of page.swabs) {
      truths.set(id, { paper: page.id, subject: 'swab', ink: PAGE_INKS[row], lab: truth });
    }
  }
  const findings: Quantity[] = [];
  let calibration: Calibration | null = null;
  for (const row of PAGE_INKS.keys()) {
    const file = join(dir, `ink-${row}.json`);
    await writeFile(file, JSON.stringify(sheetOf(pages, row)));
    const outcome = await measureWith(runner, await loadSheet(file), {});
    calibration ??= outcome.calibration;
    // The bare papers are the same for every ink.
    findings.push(...outcome.findings.filter(({ quantity }) => row === 0 || quantity !== 'paperColour'));
  }
  const variations = Object.fromEntries(
    pages.flatMap(({ swabs }) => swabs.map(({ id, variation }) => [id, variation])),
  );
  return { findings, calibration: calibration!, colours: coloursOf(findings, truths), variations };
}

/** As a person with one ink writes it: its swabs, and bare paper. */
function sheetOf(pages: readonly SwabPage[], row: number) {
  return {
    format: 'wetline-sheet/1',
    ink: { name: `Ink ${row}`, maker: 'Nobody' },
    target: { scan: 'target.tif', layout: 'layout.json', reference: 'reference.txt' },
    scans: pages.map(({ id }) => ({ id, file: `${id}.tif`, paper: id, side: 'front', dpi: PAGE_DPI })),
    regions: pages.flatMap(({ id, swabs }) => [
      { id: `bare-${id}`, kind: 'paper', scan: id, boxMm: BARE_MM },
      ...swabs
        .filter((swab) => swab.row === row)
        .map((swab) => ({ id: swab.id, kind: 'swab', scan: id, boxMm: swab.box })),
    ]),
  };
}

/** Four sheets name one target: it is calibrated once. */
function calibratingOnce(runner: TaskRunner): TaskRunner {
  const known = new Map<string, Promise<CalibrateResult>>();
  return {
    calibrate: (task, signal) => {
      const key = contentKey(task);
      const result = known.get(key) ?? runner.calibrate(task, signal);
      known.set(key, result);
      return result;
    },
    paper: (task, signal) => runner.paper(task, signal),
    region: (task, signal) => runner.region(task, signal),
    film: (task, signal) => runner.film(task, signal),
    overlay: (task, signal) => runner.overlay(task, signal),
  };
}

function coloursOf(findings: readonly Quantity[], truths: ReadonlyMap<string, Truth>): SheetColour[] {
  return [...truths].flatMap(([region, { lab: truth, ...own }]): SheetColour[] => {
    const name = own.subject === 'swab' ? 'inkColour' : 'paperColour';
    const found = findings.find((q) => q.quantity === name && q.subject.regions[0] === region);
    const told = toldOf(found);
    if (found === undefined || told === null) return [];
    const { repeatability, placement } = found.uParts ?? {};
    const noise = triple((k) => Math.hypot(componentOf(repeatability, k), componentOf(placement, k)));
    const byMap = toldOf(found.byMap) ?? told;
    return [
      { region, ...own, truth, ...told, byMap, throughFilm: found.byMap !== undefined, flags: found.flags, noise },
    ];
  });
}

function toldOf(found: Pick<Quantity, 'value' | 'u'> | undefined): ToldColour | null {
  return isLab(found?.value) && isLab(found.u) ? { lab: found.value, u: found.u } : null;
}

function componentOf(part: number | LabValue | undefined, k: number): number {
  return typeof part === 'object' ? part[k] : 0;
}

function isLab(value: Quantity['value'] | undefined): value is LabValue {
  return Array.isArray(value);
}

async function write(dir: string, name: string, raster: DeviceRaster): Promise<void> {
  await sharp(raster.data, { raw: { width: raster.widthPx, height: raster.heightPx, channels: 3 } })
    .toColourspace('rgb16')
    .withDensity(raster.dpi)
    .tiff({ compression: 'none' })
    .toFile(join(dir, `${name}.tif`));
}
