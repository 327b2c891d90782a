/**
 * A written piece of a page of some kind, scanned, with the exact mask of its ink: cells finer than the scan's pixels that
 * hold more than half of their stroke's own dose (sample-scans/README.md, "Truth"); a pixel is ink when most of its cells are.
 */
import type { DeviceRaster, Mask } from '../../analysis/raster/raster.ts';
import { type DoseTable, doseTable } from '../../sample-scans/generator/doseTable.ts';
import { expose } from '../../sample-scans/generator/expose.ts';
import { drawHand, lineWidthMm, writeLine } from '../../sample-scans/generator/hand.ts';
import type { Ink } from '../../sample-scans/generator/ink.ts';
import type { InkField } from '../../sample-scans/generator/inkField.ts';
import { PANGRAM } from '../../sample-scans/generator/pagePlan.ts';
import { drawHabit, layPasses, type Nib } from '../../sample-scans/generator/pen.ts';
import { stream } from '../../sample-scans/generator/random.ts';
import { drawScanner, type Scanner, toSignal, type Triple } from '../../sample-scans/generator/scanner.ts';
import { layPaper, paintPaper } from '../../sample-scans/generator/sheetOfPaper.ts';
import type { Curve } from '../../sample-scans/generator/spectra.ts';
import { drawFlecks } from './flecks.ts';
import type { PageKind } from './kinds.ts';
import { drawLabel } from './label.ts';
import { inkOfKind, paperOfKind } from './materials.ts';
import { type Cover, paintLayers } from './paintLayers.ts';
import { drawPrint } from './print.ts';
import { drawRelief, shadeBand } from './relief.ts';

export interface RenderedPage {
  readonly raster: DeviceRaster;
  readonly scanner: Scanner;
  readonly truth: Mask;
  /** Signal of the bare paper under even light. */
  readonly paper: Triple;
  readonly nibMm: number;
}

export type SizeMm = readonly [widthMm: number, heightMm: number];
export const PAGE_SIZE_MM: SizeMm = [50, 34];
/** Layers reach beyond the scan, since its blur looks over the edge. */
const BEYOND_MM = 0.5;
const NIBS = [
  { name: 'EF', widthMm: 0.4, flow: 0.85, xHeightMm: 2.4 },
  { name: 'M', widthMm: 0.65, flow: 1.15, xHeightMm: 2.8 },
  { name: 'B', widthMm: 1.1, flow: 1.5, xHeightMm: 3.7 },
] as const;

export function renderPageKind(kind: PageKind, seed: number, dpi: number, sizeMm: SizeMm = PAGE_SIZE_MM): RenderedPage {
  const [widthMm, heightMm] = sizeMm;
  const paper = paperOfKind(kind.paper, seed);
  const ink = inkOfKind(kind.ink, seed);
  const scanner = drawScanner(seed, { unevenLight: kind.shadow ? 3 : 1 });
  const signal = toSignal(scanner, paper.reflectance);
  const table = (ground: Curve): DoseTable => doseTable(ink, ground, scanner);
  // The layers' own grid stands on the scan's pixels, of which some lie beyond its edge.
  const pxPerMm = dpi / 25.4;
  const beyondPx = Math.ceil(BEYOND_MM * pxPerMm);
  const field = emptyLayer(Math.round(widthMm * pxPerMm), Math.round(heightMm * pxPerMm), beyondPx, dpi);
  const nib = stream(seed, `page-kind/nib/${kind.name}`).pick(NIBS);
  if (kind.ink !== 'none') writeText(field, kind, seed, nib, ink, sizeMm);
  const covers: Cover[] = [];
  if (kind.print) {
    const own = kind.ownColour ? ink : null;
    const print = drawPrint(seed, kind.print, paper.reflectance, sizeMm, own);
    covers.push({ coverage: print.coverage, table: table(print.reflectance) });
    if (print.margin) covers.push({ coverage: print.margin.coverage, table: table(print.margin.reflectance) });
  }
  const stains = [
    ...(kind.paper === 'flecked' ? drawFlecks(seed, field, scanner, paper.reflectance) : []),
    ...(kind.label ? [drawLabel(seed, kind.label, field, scanner, paper.reflectance)] : []),
  ];
  const sheet = layPaper(
    seed,
    'page',
    paper,
    signal,
    {
      widthMm: 200,
      heightMm: 200,
      centreMm: [widthMm / 2, heightMm / 2],
      angleDeg: 0,
    },
    1,
  );
  const relief = drawRelief(seed, kind, sizeMm);
  const paperTable = table(paper.reflectance);
  const raster = expose(
    {
      widthMm,
      heightMm,
      paint: (band) => {
        paintPaper(band, sheet);
        paintLayers(band, field, paperTable, covers, stains);
        shadeBand(band, relief);
      },
    },
    scanner,
    { dpi, bits: 16, converterBits: 12 },
    stream(seed, `page-kind/noise/${kind.name}`),
  );
  return { raster, scanner, truth: exactMask(field, beyondPx, raster), paper: signal, nibMm: nib.widthMm };
}

function emptyLayer(widthPx: number, heightPx: number, beyondPx: number, dpi: number): InkField {
  // At least 900 cells an inch; an odd number along a pixel, since of an even one just half can be covered, which moved edges in by a tenth of a pixel.
  const least = Math.ceil(900 / dpi);
  const factor = least + 1 - (least % 2);
  const size = [widthPx + 2 * beyondPx, heightPx + 2 * beyondPx] as const;
  const cells = size[0] * size[1] * factor * factor;
  return {
    x0Px: -beyondPx,
    y0Px: -beyondPx,
    widthPx: size[0],
    heightPx: size[1],
    factor,
    finePerMm: (dpi / 25.4) * factor,
    dose: new Float32Array(cells),
    layers: new Uint8Array(cells),
    interior: new Uint8Array(cells),
    covered: new Uint8Array(cells),
  };
}

/** Lines of cursive, the label's corner at the lower right left free. */
function writeText(
  field: InkField,
  kind: PageKind,
  seed: number,
  nib: Nib & { readonly xHeightMm: number },
  ink: Ink,
  [widthMm, heightMm]: SizeMm,
): void {
  const hand = drawHand(seed);
  const random = stream(seed, `page-kind/writing/${kind.name}`);
  const words = random.shuffle(`${PANGRAM} ${PANGRAM}`.split(' '));
  const { xHeightMm } = nib;
  const habit = drawHabit(seed, kind.name);
  const passes = [];
  const lines = Math.floor((heightMm - 7 - 2.4 * xHeightMm) / (3.5 * xHeightMm)) + 1;
  for (let n = 0; n < lines; n++) {
    const room = widthMm - 10 - (kind.label && n === lines - 1 ? 24 : 0);
    let line = words.shift() ?? '';
    while (words.length > 0 && lineWidthMm(`${line} ${words[0]}`, xHeightMm, hand) < room) line += ` ${words.shift()}`;
    const baselineMm = 3.5 + 2.4 * xHeightMm + n * 3.5 * xHeightMm;
    passes.push(...writeLine(line, { xMm: 5 + random.range(-0.6, 0.6), baselineMm, xHeightMm }, hand, random));
  }
  const flow = nib.flow * ink.strength;
  layPasses(field, passes, { ...nib, flow }, habit, stream(seed, `page-kind/pen/${kind.name}`));
}

function exactMask(
  field: InkField,
  beyondPx: number,
  size: { readonly widthPx: number; readonly heightPx: number },
): Mask {
  const { factor, covered } = field;
  const fineWidth = field.widthPx * factor;
  const data = new Uint8Array(size.widthPx * size.heightPx);
  for (let y = 0; y < size.heightPx; y++) {
    for (let x = 0; x < size.widthPx; x++) {
      let inside = 0;
      for (let v = 0; v < factor; v++) {
        const start = ((y + beyondPx) * factor + v) * fineWidth + (x + beyondPx) * factor;
        for (let u = 0; u < factor; u++) inside += covered?.[start + u] ?? 0;
      }
      if (2 * inside > factor * factor) data[y * size.widthPx + x] = 1;
    }
  }
  return { data, widthPx: size.widthPx, heightPx: size.heightPx };
}
