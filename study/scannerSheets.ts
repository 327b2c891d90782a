/**
 * A sheet of swabs on three papers, and a target, rendered through several scanners and measured from their files as the command line does.
 * Papers white, ivory and coloured, without brightener; four inks, two of the sample scans' kind and two of real dyes; an even and a graded swab each.
 */
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import type { Calibration } from '../analysis/calibrate/calibration.ts';
import { xyzToLab } from '../analysis/colour/lab.ts';
import type { LabValue, Quantity } from '../analysis/quantity.ts';
import type { DeviceRaster } from '../analysis/raster/raster.ts';
import { seededRandom } from '../analysis/seededRandom.ts';
import { triple } from '../analysis/triple.ts';
import { measureWith } from '../electron/jobs/measureSheet.ts';
import { loadSheet } from '../electron/sheet/sheet.ts';
import { doseTable } from '../sample-scans/generator/doseTable.ts';
import { expose } from '../sample-scans/generator/expose.ts';
import { drawInk, type Ink } from '../sample-scans/generator/ink.ts';
import { emptyField, type InkField, paintInk } from '../sample-scans/generator/inkField.ts';
import { swabTruth } from '../sample-scans/generator/inkTruth.ts';
import { BENCH_DEFAULTS } from '../sample-scans/generator/options.ts';
import { drawPaper, type Paper } from '../sample-scans/generator/paper.ts';
import { stream } from '../sample-scans/generator/random.ts';
import { toSignal, type Scanner, type Triple } from '../sample-scans/generator/scanner.ts';
import { paintLid, type Placement } from '../sample-scans/generator/scene.ts';
import { layPaper, paintPaper } from '../sample-scans/generator/sheetOfPaper.ts';
import { toXyz } from '../sample-scans/generator/spectra.ts';
import { drawSwabHabit, laySwab, type SwabPlan } from '../sample-scans/generator/swab.ts';
import { renderTarget } from '../sample-scans/generator/targetScan.ts';
import { inThisThread } from './benchRun.ts';
import { normal } from './draw.ts';
import { realDyes } from './realDyes.ts';
import { mixDyes } from './simulatedColours.ts';
import { WAVELENGTHS } from './spectra.ts';
import { anotherDay, threeScanners, type NamedScanner } from './unlikeScanners.ts';

/** A region as one scanner's files gave it, beside the truth. */
export interface SheetColour {
  readonly region: string;
  readonly paper: string;
  readonly subject: 'swab' | 'paper';
  readonly truth: LabValue;
  readonly lab: LabValue;
  readonly u: LabValue;
  /** What of u is not the calibration's: repeatability and placement. */
  readonly noise: LabValue;
}

export interface SheetSeen {
  readonly scanner: string;
  readonly calibration: Calibration;
  readonly colours: readonly SheetColour[];
}

const DPI = 150;
const WIDTH_MM = 105;
const HEIGHT_MM = 148;
const BARE_MM = [12, 114, 72, 24] as const;
const ROWS_MM = [10, 35, 60, 85];
const AROUND_MM = 2;
const dyes = realDyes();

interface Page {
  readonly id: string;
  readonly paper: Paper;
  readonly swabs: readonly {
    readonly id: string;
    readonly ink: Ink;
    readonly field: InkField;
    readonly box: number[];
  }[];
}

async function seenSheets(seed: number, scanners: readonly NamedScanner[]): Promise<SheetSeen[]> {
  const pages = drawPages(seed);
  const seen: SheetSeen[] = [];
  for (const [n, { name, scanner }] of scanners.entries()) {
    const dir = await mkdtemp(join(tmpdir(), 'wetline-scanners-'));
    try {
      const { findings, calibration, truths } = await measured(dir, seed, n, scanner, pages);
      seen.push({ scanner: name, calibration, colours: coloursOf(findings, truths) });
    } finally {
      await rm(dir, { recursive: true, force: true });
    }
  }
  return seen;
}

/** By a seed's three scanners (unlikeScanners.ts, 'mixed') and the first of them another day; each seed is rendered once. */
export function sheetsOf(seed: number, withLater = true): Promise<SheetSeen[]> {
  const key = `${seed} ${withLater}`;
  const known = rendered.get(key) ?? rendered.get(`${seed} true`);
  if (known) return known;
  const three = threeScanners(seed, 'mixed');
  const later = { name: `${three[0].name}, another day`, scanner: anotherDay(three[0].scanner, seed) };
  const made = seenSheets(seed, withLater ? [...three, later] : three);
  rendered.set(key, made);
  return made;
}
const rendered = new Map<string, Promise<SheetSeen[]>>();

type Truths = ReadonlyMap<
  string,
  { readonly paper: string; readonly subject: 'swab' | 'paper'; readonly lab: LabValue }
>;

async function measured(dir: string, seed: number, n: number, scanner: Scanner, pages: readonly Page[]) {
  await mkdir(dir, { recursive: true });
  const white = toSignal(
    scanner,
    WAVELENGTHS.map(() => scanner.lid),
  );
  const options = { ...BENCH_DEFAULTS, dpi: DPI, cardSeed: seed };
  const work = { seed: 10 * seed + n, options, ink: pages[0].swabs[0].ink, inkName: '', scanner, lid: white };
  const { raster, card } = renderTarget(work);
  await write(dir, 'target', raster);
  await writeFile(join(dir, 'layout.json'), JSON.stringify(card.layout));
  await writeFile(join(dir, 'reference.txt'), card.referenceText);
  const truths = new Map<string, { paper: string; subject: 'swab' | 'paper'; lab: LabValue }>();
  for (const page of pages) {
    const { image, labs } = render(page, seed, n, scanner, white);
    await write(dir, page.id, image);
    truths.set(`bare-${page.id}`, { paper: page.id, subject: 'paper', lab: xyzToLab(toXyz(page.paper.reflectance)) });
    page.swabs.forEach(({ id }, i) => truths.set(id, { paper: page.id, subject: 'swab', lab: labs[i] }));
  }
  const sheet = {
    format: 'wetline-sheet/1',
    ink: { name: 'Four inks', maker: 'Nobody' },
    target: { scan: 'target.tif', layout: 'layout.json', reference: 'reference.txt' },
    scans: pages.map(({ id }) => ({ id, file: `${id}.tif`, paper: id, side: 'front', dpi: DPI })),
    regions: pages.flatMap(({ id, swabs }) => [
      { id: `bare-${id}`, kind: 'paper', scan: id, boxMm: BARE_MM },
      ...swabs.map((swab) => ({ id: swab.id, kind: 'swab', scan: id, boxMm: swab.box })),
    ]),
  };
  await writeFile(join(dir, 'sheet.json'), JSON.stringify(sheet));
  const outcome = await measureWith(inThisThread, await loadSheet(join(dir, 'sheet.json')), {});
  return { findings: outcome.findings, calibration: outcome.calibration, truths };
}

function coloursOf(findings: readonly Quantity[], truths: Truths): SheetColour[] {
  return [...truths].flatMap(([region, { paper, subject, lab: truth }]): SheetColour[] => {
    const name = subject === 'swab' ? 'inkColour' : 'paperColour';
    const found = findings.find((q) => q.quantity === name && q.subject.regions[0] === region);
    if (!isLab(found?.value) || !isLab(found.u)) return [];
    const { repeatability, placement } = found.uParts ?? {};
    const noise = triple((k) => Math.hypot(componentOf(repeatability, k), componentOf(placement, k)));
    return [{ region, paper, subject, truth, lab: found.value, u: found.u, noise }];
  });
}

function componentOf(part: number | LabValue | undefined, k: number): number {
  return typeof part === 'object' ? part[k] : 0;
}

function isLab(value: Quantity['value'] | undefined): value is LabValue {
  return Array.isArray(value);
}

function drawPages(seed: number): Page[] {
  const inks = ROWS_MM.map((_, n) => (n % 2 === 0 ? drawInk(100 * seed + n) : dyeInk(100 * seed + n)));
  const coloured = (['yellow', 'green', 'grey'] as const)[seed % 3];
  return (['brightWhite', 'ivory', coloured] as const).map((kind, p): Page => {
    const id = ['white', 'ivory', 'coloured'][p];
    const flow = stream(seed, `flow/${id}`);
    const swabs = ROWS_MM.flatMap((top, n) =>
      (
        [
          ['even', { boxMm: [9, top, 31, 12], doseFrom: 1.25, doseTo: 1.15 }],
          ['graded', { boxMm: [46, top, 50, 12], doseFrom: 0.3, doseTo: 2.4 }],
        ] as const
      ).map(([way, plan]) => {
        const region = `${way}-${n}-${id}`;
        const [x, y, w, h] = plan.boxMm;
        const box = [x - AROUND_MM, y - AROUND_MM, w + 2 * AROUND_MM, h + 2 * AROUND_MM] as const;
        const field = emptyField(box, DPI);
        const wet = inks[n].strength * flow.logNormal(1, 0.08);
        const wetted: SwabPlan = { ...plan, doseFrom: plan.doseFrom * wet, doseTo: plan.doseTo * wet };
        laySwab(field, wetted, drawSwabHabit(seed, region), PLACE, stream(seed, `swab/${region}`));
        return { id: region, ink: inks[n], field, box: [...box] };
      }),
    );
    return { id, paper: drawPaper(seed, kind, id), swabs };
  });
}

const PLACE: Placement = {
  widthMm: WIDTH_MM,
  heightMm: HEIGHT_MM,
  centreMm: [WIDTH_MM / 2, HEIGHT_MM / 2],
  angleDeg: 0,
};

function dyeInk(seed: number): Ink {
  const random = seededRandom(seed);
  return {
    kind: 'real dyes',
    dyes: [],
    absorption: Float64Array.from(mixDyes(dyes, random)),
    scatter: 0.02 * Math.exp(0.6 * normal(random)),
    strength: 1.3 * Math.exp(0.25 * normal(random)),
  };
}

function render(page: Page, seed: number, n: number, scanner: Scanner, lid: Triple) {
  const { paper, swabs } = page;
  const tables = swabs.map(({ ink }) => doseTable(ink, paper.reflectance, scanner));
  const sheet = layPaper(seed, page.id, paper, toSignal(scanner, paper.reflectance), PLACE, 1);
  const image = expose(
    {
      widthMm: WIDTH_MM + 1,
      heightMm: HEIGHT_MM + 1,
      paint: (band) => {
        paintLid(band, lid);
        paintPaper(band, sheet);
        swabs.forEach(({ field }, i) => paintInk(band, field, tables[i]));
      },
    },
    scanner,
    { ...BENCH_DEFAULTS, dpi: DPI },
    stream(10 * seed + n, `noise/${page.id}`),
  );
  const labs = swabs.map(({ field }, i): LabValue => swabTruth(field, tables[i]).colour.inkColour);
  return { image, labs };
}

async function write(dir: string, name: string, raster: DeviceRaster): Promise<void> {
  await sharp(raster.data, { raw: { width: raster.widthPx, height: raster.heightPx, channels: 3 } })
    .toColourspace('rgb16')
    .withDensity(raster.dpi)
    .tiff({ compression: 'none' })
    .toFile(join(dir, `${name}.tif`));
}
