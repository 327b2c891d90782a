/** A written page on the glass: its scan, regions and truth. */
import { xyzToLab } from '../../analysis/colour/lab.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { type DoseTable, doseTable } from './doseTable.ts';
import { expose } from './expose.ts';
import { mixedInk } from './ink.ts';
import type { InkField } from './inkField.ts';
import { blockId, pageScene, pageTruth, writePage } from './page.ts';
import type { PageRegion } from './page.ts';
import { WHITE_PAGE, YELLOW_PAGE } from './pagePlan.ts';
import { drawPaper } from './paper.ts';
import { stream } from './random.ts';
import { toSignal } from './scanner.ts';
import { drawSheen, laySheen } from './sheen.ts';
import type { Placement } from './scene.ts';
import { layPaper } from './sheetOfPaper.ts';
import { toXyz } from './spectra.ts';
import type { PageTruth } from './truth.ts';
import { PAPER_NAMES } from './work.ts';
import type { Work } from './work.ts';

export interface PageScan {
  readonly raster: DeviceRaster;
  readonly paperName: string;
  readonly regions: readonly PageRegion[];
  readonly fields: ReadonlyMap<string, InkField>;
  readonly truth: PageTruth;
}

export function renderPage(work: Work, id: 'white' | 'yellow'): PageScan {
  const { seed, options, ink, scanner } = work;
  const plan = id === 'white' ? (options.whitePlan ?? WHITE_PAGE) : YELLOW_PAGE;
  const kind = id === 'white' ? options.whitePaper : options.colouredPaper;
  const paperSeed = options.paperSeed ?? seed;
  const paper = drawPaper(paperSeed, kind, id);
  const random = stream(seed, `place/${id}`);
  const place: Placement = {
    widthMm: plan.widthMm,
    heightMm: plan.heightMm,
    centreMm: [plan.widthMm / 2 + random.range(-0.6, 0.8), plan.heightMm / 2 + random.range(-0.6, 0.8)],
    angleDeg: random.range(-0.4, 0.4),
  };
  const table = doseTable(ink, paper.reflectance, scanner);
  const others = new Map(
    plan.nibs.flatMap((nib): [string, DoseTable][] =>
      nib.mixedWith ? [[blockId(nib, plan), doseTable(mixedInk(ink, nib.mixedWith), paper.reflectance, scanner)]] : [],
    ),
  );
  const tableOf = (region: string): DoseTable => others.get(region) ?? table;
  const handSeed = options.handSeed ?? seed;
  const sheen = options.sheen === undefined ? null : drawSheen(seed, ink, scanner, options.sheen);
  const written = writePage({
    seed,
    handSeed,
    plan,
    place,
    dpi: options.dpi,
    inkName: work.inkName,
    strength: ink.strength,
  });
  const page = sheen
    ? { ...written, fields: new Map([...written.fields].map(([id, f]) => [id, laySheen(f, sheen, seed, id)])) }
    : written;
  const sheet = layPaper(paperSeed, id, paper, toSignal(scanner, paper.reflectance), place, options.texture);
  const scene = pageScene([plan.widthMm + 2, plan.scannedMm], work.lid, sheet, page, tableOf, sheen?.signal);
  return {
    raster: expose(scene, scanner, options, stream(seed, `noise/${id}`)),
    paperName: PAPER_NAMES[kind],
    regions: page.regions,
    fields: page.fields,
    truth: {
      scan: id,
      paper: [...paper.reflectance],
      place,
      regions: pageTruth(page, tableOf, xyzToLab(toXyz(paper.reflectance))),
    },
  };
}
