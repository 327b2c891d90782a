/** Some written lines by the hand and pen of the sample's generator, scanned, with the widths that the pen really laid. */
import { inkInRatio } from '../../analysis/locate/inkMask.ts';
import { strokeInterior } from '../../analysis/locate/strokeInterior.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { type EdgeMeasure, measureEdges } from '../../analysis/measure/edge/measureEdges.ts';
import { gaussianSmooth } from '../../analysis/raster/gaussian.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';
import { triple } from '../../analysis/triple.ts';
import { type DoseTable, doseTable } from '../../sample-scans/generator/doseTable.ts';
import { drawHand, type Pass, writeLine } from '../../sample-scans/generator/hand.ts';
import { drawInk } from '../../sample-scans/generator/ink.ts';
import { emptyField, type InkField, paintInk } from '../../sample-scans/generator/inkField.ts';
import { drawPaper } from '../../sample-scans/generator/paper.ts';
import { drawHabit, EDGE_MM, inkAlong, layPasses, type Nib, soft } from '../../sample-scans/generator/pen.ts';
import { stream } from '../../sample-scans/generator/random.ts';
import { drawScanner, toSignal, type Triple } from '../../sample-scans/generator/scanner.ts';
import { coded } from './drawStrokes.ts';
import { calibration, flatPaperOf } from './worlds.ts';

export interface WrittenEdges {
  readonly measure: EdgeMeasure;
  /** Mean and standard deviation over all places away from ends, mm; edges at half the fall of light. */
  readonly lineWidth: number;
  readonly sd: number;
  readonly roughMm: number;
  readonly signal: LinearRaster;
}

const NIBS: readonly Nib[] = [
  { name: 'EF', widthMm: 0.4, flow: 0.85 },
  { name: 'F', widthMm: 0.5, flow: 1 },
  { name: 'M', widthMm: 0.65, flow: 1.15 },
  { name: 'B', widthMm: 1.1, flow: 1.5 },
];
const LINES = ['quick foxes jump', 'over lazy dogs and', 'wizards brew ink'];
const WIDTH_MM = 62;

export function writtenEdges(seed: number, dpi: number): WrittenEdges {
  const bits = dpi > 300 ? 16 : 8;
  const random = seededRandom(seed * 331 + 7);
  const nib = NIBS[Math.floor(seed / 4) % NIBS.length];
  const xHeightMm = 2 + 1.6 * nib.widthMm;
  const pitch = 4.1 * xHeightMm;
  const hand = drawHand(seed);
  const habit = drawHabit(seed, 'white');
  const ink = drawInk(seed);
  const paper = drawPaper(seed, random() < 0.6 ? 'brightWhite' : 'ivory', 'white');
  const scanner = drawScanner(seed);
  const table = doseTable(ink, paper.reflectance, scanner);
  const box = [0, 0, WIDTH_MM, pitch * LINES.length + 2 * xHeightMm] as const;
  const writing = stream(seed, 'writing/edges');
  const passes = LINES.flatMap((text, n) =>
    writeLine(text, { xMm: 4, baselineMm: pitch * (n + 0.75), xHeightMm }, hand, writing),
  );
  const wet = { ...nib, flow: nib.flow * ink.strength };
  const field = emptyField(box, dpi);
  layPasses(field, passes, wet, habit, stream(seed, 'pen/edges'));
  const bare = toSignal(scanner, paper.reflectance);
  const noise = { photon: scanner.photonNoise, fibres: 0.002 + 0.003 * random() };
  const signal = scanned(field, table, bare, scanner.blurSdMm, noise, bits, dpi, random);
  const pxPerMm = dpi / 25.4;
  const pixelNoise = Math.hypot(noise.photon, noise.fibres) + 0.0008;
  const found = inkInRatio(
    signal.data.map((v, i) => v / bare[i % 3]),
    signal,
    [pixelNoise, pixelNoise, pixelNoise],
  );
  if (!found) throw new Error(`No ink was found in the writing of seed ${seed}.`);
  const blurMm = Math.hypot(scanner.blurSdMm, 25.4 / dpi / Math.sqrt(12));
  const inside = strokeInterior(found, dpi, blurMm * pxPerMm);
  const measure = measureEdges(
    found,
    inside,
    {
      id: `written-${seed}`,
      signal,
      calibration,
      paper: flatPaperOf(bare, pixelNoise),
      bare: barePaperOf(bare, calibration),
      scannerBlurMm: blurMm,
      nibWidthMm: nib.widthMm,
      scanFlags: [],
    },
    [],
  );
  const widths = laidWidths(passes, inkAlong(passes, wet, habit, stream(seed, 'pen/edges')), table);
  const mean = widths.reduce((a, b) => a + b, 0) / widths.length;
  // Each of the two edges is rough by itself.
  const sd = Math.sqrt(widths.reduce((sum, v) => sum + (v - mean) ** 2, 0) / widths.length + 2 * habit.roughMm ** 2);
  return { measure, lineWidth: mean, sd, roughMm: habit.roughMm, signal };
}

function scanned(
  field: InkField,
  table: DoseTable,
  paper: Triple,
  blurMm: number,
  noise: { readonly photon: number; readonly fibres: number },
  bits: 8 | 16,
  dpi: number,
  random: () => number,
): LinearRaster {
  const { widthPx: w, heightPx: h } = field;
  const data = Float32Array.from({ length: 3 * w * h }, (_, i) => paper[i % 3]);
  paintInk({ data, widthPx: w, firstRow: 0, rows: h, pxPerMm: dpi / 25.4 }, field, table);
  const blurPx = (blurMm * dpi) / 25.4;
  for (let c = 0; c < 3; c++) {
    const plane = gaussianSmooth(
      Float32Array.from({ length: w * h }, (_, i) => data[3 * i + c]),
      w,
      h,
      blurPx,
    );
    for (let i = 0; i < w * h; i++) {
      const seen = plane[i] * (1 + noise.fibres * normal(random)) + noise.photon * Math.sqrt(plane[i]) * normal(random);
      data[3 * i + c] = coded(seen, bits);
    }
  }
  return { data, widthPx: w, heightPx: h, dpi, originPx: [0, 0], clipped: new Uint8Array(w * h) };
}

/** Twice the pen's half width where no end is near, each edge where the light has fallen half: of all that was written, also where lines cross. */
function laidWidths(passes: readonly Pass[], along: ReturnType<typeof inkAlong>, table: DoseTable): number[] {
  const widths: number[] = [];
  passes.forEach((pass, p) => {
    const { half, dose } = along[p];
    const n = half.length;
    const way = new Float64Array(n);
    for (let i = 1; i < n; i++) way[i] = way[i - 1] + Math.hypot(pass.x[i] - pass.x[i - 1], pass.y[i] - pass.y[i - 1]);
    for (let i = 2; i < n - 2; i++) {
      const end = 2.4 * half[i];
      if (way[i] < end || way[n - 1] - way[i] < end) continue;
      widths.push(2 * (half[i] + outwards(dose[i], table)));
    }
  });
  return widths;
}

/** How far beyond the pen's own edge, where half the dose lies, the light has fallen to half (mm). */
function outwards(dose: number, table: DoseTable): number {
  const at = (d: number) => {
    const entry = Math.sqrt(d * table.perDose);
    const k = Math.min(table.last - 1, Math.floor(entry));
    return triple(
      (c) => table.signal[3 * k + c] + (entry - k) * (table.signal[3 * k + 3 + c] - table.signal[3 * k + c]),
    );
  };
  const ground = at(0);
  const core = at(dose);
  const weights = triple((c) => (1 - core[c] / ground[c]) / ground[c]);
  const fall = (d: number) => at(d).reduce((sum, s, c) => sum + weights[c] * (ground[c] - s), 0);
  let low = 0;
  let high = 1;
  for (let round = 0; round < 40; round++) {
    const t = (low + high) / 2;
    if (fall(soft(t) * dose) < 0.5 * fall(dose)) low = t;
    else high = t;
  }
  return (0.5 - low) * EDGE_MM;
}
