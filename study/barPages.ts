/** Strokes and swabs across a printed black bar, drawn with exact truth: an ink's film on paper and on print, seen by a scanner that is no observer. */
import { compileCalibration } from '../analysis/calibrate/apply.ts';
import { xyzOnGrid } from '../analysis/film/grid.ts';
import type { BarSignals } from '../analysis/measure/opacity/measuredBar.ts';
import { type BarMeasure, measureBar } from '../analysis/measure/opacity/measureBar.ts';
import type { LinearRaster } from '../analysis/raster/raster.ts';
import { normal, seededRandom } from '../analysis/seededRandom.ts';
import { FINE, scanned } from './backPages.ts';
import { between } from './draw.ts';
import { type FilmWorld, filmWorld } from './filmWorlds.ts';
import { flatSurface } from './flatSurface.ts';
import { drawOpacityInk } from './opacityInk.ts';
import { drawPaper, inkOnPaper, type SimulatedInk } from './simulatedColours.ts';

export interface BarOptions {
  readonly kind?: 'strokes' | 'swab';
  readonly dpi?: number;
  /** The bar runs down the box instead of across it. */
  readonly upright?: boolean;
  readonly leanDeg?: number;
  readonly noBar?: boolean;
  readonly noInk?: boolean;
  /** Left out: drawn. */
  readonly sizeMm?: readonly [width: number, height: number];
  /** Another than the seed's own. */
  readonly ink?: SimulatedInk;
}

export interface BarTrial {
  /** Id of the bar's region. */
  readonly region: string;
  readonly kind: 'strokes' | 'swab';
  readonly measure: BarMeasure;
  readonly truth: number;
  readonly luminances: BarPage['luminances'];
}

/** Doses that the drawing knows, as shares of the densest; signals between them are interpolated. */
const LEVELS = 24;
const EDGE_MM = 0.03;

/** The program's measure of a drawn page, its paper and the scanner's blur known. */
export function barTrial(seed: number, options: BarOptions = {}): BarTrial {
  const { kind, truth, luminances, raster, paper, blurMm, world } = drawBarPage(seed, options);
  const region = `bar-${kind}-${seed}`;
  const measure = measureBar({
    id: region,
    signal: raster,
    calibration: compileCalibration(world.calibration),
    paper: flatSurface(paper),
    bare: null,
    scannerBlurMm: blurMm,
    scanFlags: [],
  });
  return { region, kind, measure, truth, luminances };
}

export interface BarPage {
  readonly kind: 'strokes' | 'swab';
  readonly truth: number;
  /** Exact Y, of ink the mean over its lines. */
  readonly luminances: Readonly<Record<Exclude<keyof BarSignals, 'uDark'>, number>>;
  readonly raster: LinearRaster;
  /** Its signals. */
  readonly paper: readonly [number, number, number];
  readonly blurMm: number;
  readonly world: FilmWorld;
}

export function drawBarPage(seed: number, options: BarOptions = {}): BarPage {
  const random = seededRandom(seed * 4271 + 13);
  const world = filmWorld(seed);
  const own = drawOpacityInk(seed, random);
  const ink = options.ink ?? own.ink;
  const kind = options.kind ?? (random() < 0.5 ? 'strokes' : 'swab');
  const dpi = options.dpi ?? (random() < 0.5 ? 300 : 600);
  const paper = drawPaper('white', random);
  const level = between(random, 0.025, 0.06);
  const print = paper.map((_, l) => level * (1 + 0.15 * Math.sin(l / 9)));
  const most = between(random, 0.8, 2.2);
  const doses = Array.from({ length: LEVELS + 1 }, (_, i) => (most * 1.3 * i) / LEVELS);
  const on = (ground: readonly number[]) => doses.map((dose) => world.signal(inkOnPaper(ink, dose, ground)));
  const [onPaper, onPrint] = [on(paper), on(options.noBar === true ? paper : print)];
  const [widthMm, heightMm] = options.sizeMm ?? [between(random, 38, 60), between(random, 18, 26)];
  const columns = Math.round(widthMm * FINE);
  const rows = Math.round(heightMm * FINE);
  const barMm = between(random, 5, 9);
  const lean = ((options.leanDeg ?? between(random, -1.2, 1.2)) * Math.PI) / 180;
  const dose = new Float32Array(columns * rows);
  const lines = drawn(kind, widthMm, random);
  let [white, black] = [0, 0];
  const yOf = (ground: readonly number[], amount: number): number => xyzOnGrid(inkOnPaper(ink, amount, ground))[1];
  for (const { middleMm, halfMm, leanMm, amount } of options.noInk === true ? [] : lines) {
    white += halfMm * yOf(paper, amount * most);
    black += halfMm * yOf(print, amount * most);
    for (let y = 0; y < rows; y++) {
      const yMm = y / FINE - heightMm / 2;
      const at = middleMm + leanMm * yMm;
      const end = kind === 'swab' ? heightMm / 2 - 1.5 : heightMm / 2 - 2;
      if (Math.abs(yMm) > end) continue;
      for (
        let x = Math.max(0, Math.ceil((at - halfMm) * FINE));
        x <= Math.min(columns - 1, (at + halfMm) * FINE);
        x++
      ) {
        const edge = Math.min(1, (halfMm - Math.abs(x / FINE - at)) / EDGE_MM);
        dose[y * columns + x] = Math.max(dose[y * columns + x], amount * edge);
      }
    }
  }
  const isBar = (x: number, y: number): boolean =>
    Math.abs(y / FINE - heightMm / 2 - Math.tan(lean) * (x / FINE - widthMm / 2)) < barMm / 2;
  const signalAt = (cell: number, channel: number): number => {
    if (cell < 0) return onPaper[0][channel];
    const x = cell % columns;
    const of = isBar(x, (cell - x) / columns) ? onPrint : onPaper;
    const at = Math.min(LEVELS - 1e-6, (dose[cell] / 1.3) * LEVELS);
    const low = Math.floor(at);
    return of[low][channel] + (at - low) * (of[low + 1][channel] - of[low][channel]);
  };
  const blurMm = between(random, 0.04, 0.07);
  const scan = scanned({ columns, rows, perMm: FINE }, dpi, widthMm, heightMm, null, blurMm, seed + 5, signalAt);
  const raster = options.upright === true ? turned(scan) : scan;
  const all = lines.reduce((sum, { halfMm }) => sum + halfMm, 0);
  const luminances = {
    paper: xyzOnGrid(paper)[1],
    print: xyzOnGrid(print)[1],
    onPaper: white / all,
    onPrint: black / all,
  };
  return { kind, truth: black / white, luminances, raster, paper: onPaper[0], blurMm, world };
}

interface Line {
  readonly middleMm: number;
  readonly halfMm: number;
  /** Sideways for each mm down. */
  readonly leanMm: number;
  readonly amount: number;
}

function drawn(kind: 'strokes' | 'swab', widthMm: number, random: () => number): Line[] {
  if (kind === 'swab') {
    const halfMm = between(random, 4, 8);
    return [
      { middleMm: widthMm / 2 + between(random, -2, 2), halfMm, leanMm: between(random, -0.03, 0.03), amount: 1 },
    ];
  }
  const width = between(random, 0.35, 1.1);
  const lines: Line[] = [];
  for (let x = 4; x < widthMm - 4; x += between(random, 2.2, 4)) {
    const amount = Math.min(1.25, Math.exp(0.1 * normal(random)));
    lines.push({
      middleMm: x,
      halfMm: (width * between(random, 0.9, 1.1)) / 2,
      leanMm: between(random, -0.08, 0.08),
      amount,
    });
  }
  return lines;
}

function turned(raster: LinearRaster): LinearRaster {
  const { widthPx: w, heightPx: h, data } = raster;
  const out = new Float32Array(data.length);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) for (let c = 0; c < 3; c++) out[3 * (x * h + y) + c] = data[3 * (y * w + x) + c];
  }
  return { ...raster, data: out, widthPx: h, heightPx: w };
}
