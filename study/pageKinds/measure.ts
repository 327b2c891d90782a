/** A rendered page measured as the program does it, from exactly linear signals; its mask held against the exact one. */
import { regionInk, type RegionInk } from '../../analysis/locate/regionInk.ts';
import { cellSizePx, pageCells } from '../../analysis/locate/pageCells.ts';
import { findPaper, type PaperSurface } from '../../analysis/locate/paperSurface.ts';
import type { LinearRaster, Mask } from '../../analysis/raster/raster.ts';
import { type Scanner, type ToneLaw, toneValue } from '../../sample-scans/generator/scanner.ts';
import type { RenderedPage } from './render.ts';

export interface MeasuredPage {
  readonly signal: LinearRaster;
  readonly paper: PaperSurface | null;
  readonly found: RegionInk | null;
  readonly seconds: number;
}

export function measurePageKind(page: RenderedPage, clock: () => number = () => 0): MeasuredPage {
  const signal = linearSignals(page.raster, page.scanner);
  const paper = findPaper(pageCells(signal, cellSizePx(signal.dpi), () => 'written'));
  const from = clock();
  const found = paper && regionInk(signal, paper);
  return { signal, paper, found, seconds: clock() - from };
}

/** Through the scanner's own tone curves turned round, by table. */
function linearSignals(raster: RenderedPage['raster'], scanner: Scanner): LinearRaster {
  const tables = scanner.tone.map(inverse);
  const { data, widthPx, heightPx, dpi, originPx } = raster;
  const out = new Float32Array(data.length);
  for (let i = 0; i < data.length; i++) out[i] = tables[i % 3][data[i]];
  return { data: out, widthPx, heightPx, dpi, originPx, clipped: new Uint8Array(widthPx * heightPx) };
}

function inverse(law: ToneLaw): Float32Array {
  const out = new Float32Array(65536);
  let [signal, step] = [-0.02, 1 / 65536];
  for (let code = 0; code < 65536; code++) {
    while (signal < 1.5 && toneValue(law, signal + step) * 65535 < code) signal += step;
    out[code] = signal;
  }
  return out;
}

/** Shared pixels over all pixels of either; 1 when both are empty. */
export function intersectionOverUnion(a: Mask, b: Mask): number {
  let both = 0;
  let either = 0;
  for (let i = 0; i < a.data.length; i++) {
    both += a.data[i] & b.data[i];
    either += a.data[i] | b.data[i];
  }
  return either === 0 ? 1 : both / either;
}
