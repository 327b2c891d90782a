/** A chromatography strip on the glass: a lane of parted dyes on filter paper, origin line, tideline at the front. */
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { CELL_MM, runDye } from './chromatography.ts';
import type { Profile } from './chromatography.ts';
import { expose } from './expose.ts';
import { filmReflectance } from './film.ts';
import type { Ink } from './ink.ts';
import type { Travel } from './options.ts';
import { drawPaper } from './paper.ts';
import type { Paper } from './paper.ts';
import { stream } from './random.ts';
import { toSignal } from './scanner.ts';
import type { Scanner, Triple } from './scanner.ts';
import { paintLid, toScan, turn } from './scene.ts';
import type { Band, Placement } from './scene.ts';
import type { StripRegion } from './sheetFile.ts';
import { layPaper, paintPaper } from './sheetOfPaper.ts';
import { drawLattice, drawWander, latticeAt, wanderAt } from './smoothNoise.ts';
import { WAVELENGTHS, edge, toXyz } from './spectra.ts';
import { mixture, stripNumbers } from './stripTruth.ts';
import type { StripTruth } from './stripTruth.ts';
import type { Work } from './work.ts';

const STRIP = { lengthMm: 104, breadthMm: 21, roundMm: 4 } as const;
/** The region's box lies this far inside the strip's edges. */
const INSET_MM = 1.3;
interface StripOrder {
  readonly seed: number;
  readonly run: 'fresh' | 'dried';
  readonly ink: Ink;
  readonly paper: Paper;
  readonly scanner: Scanner;
}

const LEVELS = 25;
const FULLEST = 1.2;

export interface StripScan {
  readonly raster: DeviceRaster;
  readonly region: StripRegion;
  readonly truth: StripTruth;
}

export function renderStrip(work: Work, run: 'fresh' | 'dried'): StripScan {
  const { seed, ink, scanner, options } = work;
  const paper = drawPaper(options.paperSeed ?? seed, 'filter', 'strip');
  const order: StripOrder = { seed, run, ink, paper, scanner };
  const random = stream(seed, `strip/${run}`);
  const across = options.travel === 'left' || options.travel === 'right';
  const size: readonly [number, number] = [STRIP.breadthMm + 2 * STRIP.roundMm, STRIP.lengthMm + 2 * STRIP.roundMm];
  const [widthMm, heightMm] = across ? [size[1], size[0]] : size;
  const place: Placement = {
    widthMm: across ? STRIP.lengthMm : STRIP.breadthMm,
    heightMm: across ? STRIP.breadthMm : STRIP.lengthMm,
    centreMm: [widthMm / 2 + random.range(-1, 1), heightMm / 2 + random.range(-1, 1)],
    angleDeg: random.range(-0.3, 0.3),
  };
  // Along the strip, from its starting end.
  const originAt = random.range(14, 18);
  const travelledMm = random.range(68, 76);
  const profiles = options.blankStrip ? [] : parted(order, travelledMm);
  const lane = laneOf(seed, run, originAt, travelledMm);
  const signal = toSignal(scanner, paper.reflectance);
  const sheet = layPaper(seed, `strip/${run}`, paper, signal, place, options.texture);
  const colours = profiles.length > 0 ? laneTable(order, profiles) : null;
  const marks = stripMarks(order);
  const scene = {
    widthMm,
    heightMm,
    paint: (band: Band): void => {
      paintLid(band, work.lid);
      paintPaper(band, sheet);
      paintLane(band, place, options.travel, lane, colours, marks);
    },
  };
  const raster = expose(scene, scanner, options, stream(seed, `noise/strip-${run}`));

  const box: [number, number, number, number] = [
    tenth(place.centreMm[0] - place.widthMm / 2 + INSET_MM),
    tenth(place.centreMm[1] - place.heightMm / 2 + INSET_MM),
    tenth(place.widthMm - 2 * INSET_MM),
    tenth(place.heightMm - 2 * INSET_MM),
  ];
  const fromBox = (along: number): number => {
    const p = toScan(place, stripPoint(options.travel, along));
    return Math.round(1000 * (across ? p[0] - box[0] : p[1] - box[1])) / 1000;
  };
  const originMm = fromBox(originAt);
  const frontMm = fromBox(originAt + travelledMm);
  const numbers =
    profiles.length > 0
      ? stripNumbers(ink, paper.reflectance, profiles, travelledMm)
      : { bands: [], originRetainedPercent: 0 };
  return {
    raster,
    region: { id: run, kind: 'strip', boxMm: box, run, originMm, frontMm, travel: options.travel },
    truth: {
      scan: `strip-${run}`,
      run,
      paper: [...paper.reflectance],
      paperColour: xyzToLab(toXyz(paper.reflectance)),
      originMm,
      frontMm,
      travelledMm,
      ...numbers,
    },
  };
}

/** Each dye's profile; a dried spot holds its dyes harder, lets less go, and moves less. */
function parted(order: StripOrder, frontMm: number): Profile[] {
  const { seed, run, ink } = order;
  const setting = stream(seed, 'strip/liquid');
  const spotMm = setting.range(1.6, 2.5);
  const dispersionMm = setting.range(0.03, 0.07);
  const load = setting.range(8, 14);
  const drag = setting.range(0.88, 0.97);
  return ink.dyes.map((dye, i) => {
    const habit = stream(seed, `strip/dye${i}`);
    const releasePerMm = habit.range(5, 11);
    const halfFull = habit.range(2, 6);
    const dried = run === 'dried';
    return runDye(
      { frontMm, spotMm, dispersionMm },
      {
        mobility: dye.mobility * (dried ? drag : 1),
        releasePerMm: releasePerMm * (dried ? 0.85 : 1),
        halfFull,
        load,
        bound: dried ? dye.boundDried : dye.boundFresh,
      },
    );
  });
}

interface Lane {
  readonly originAt: number;
  readonly frontAt: number;
  readonly halfMm: number;
  at(along: number, aside: number): { height: number; fill: number };
  tide(aside: number): number;
  pencil(along: number, aside: number): number;
}

function laneOf(seed: number, run: string, originAt: number, travelledMm: number): Lane {
  const random = stream(seed, `lane/${run}`);
  const halfMm = random.range(4, 5.6);
  const offset = random.range(-0.8, 0.8);
  const wobble = drawWander(random, 120, 22);
  const breadth = drawWander(random, 120, 14);
  const lag = drawWander(random, 60, 3);
  const cloud = drawLattice(random, { leftMm: -15, topMm: 0, widthMm: 30, heightMm: 110 }, 1.4, 2.2);
  const tide = drawWander(random, 60, 3.5);
  const through = random.uniform() < 0.4;
  const grain = drawLattice(random, { leftMm: -15, topMm: 0, widthMm: 30, heightMm: 110 }, 0.18, 0.12);
  const lean = random.range(-0.006, 0.006);
  const pencilHalf = random.range(0.13, 0.2);
  const soot = random.range(0.3, 0.5);
  const softening = random.range(0.012, 0.026);
  const bow = random.range(-0.1, 0.8);
  return {
    originAt,
    frontAt: originAt + travelledMm,
    halfMm,
    at: (along, aside) => {
      const x = aside - offset - 0.45 * wanderAt(wobble, along);
      // Liquid runs a little slower near the lane's edges, so what has moved bows; the spot itself lies straight.
      const moved = Math.min(1, Math.max(0, (along - originAt) / 12));
      const height = along - originAt + moved * (0.1 * wanderAt(lag, aside + 20) + bow * (x / halfMm) ** 2);
      const soft = 0.45 + softening * Math.max(0, height);
      const half = halfMm * (1 + 0.03 * wanderAt(breadth, along));
      const flat = 0.5 * (erf((x + half) / soft) - erf((x - half) / soft));
      return { height, fill: flat * (1 + 0.02 * latticeAt(cloud, aside, along)) };
    },
    tide: (aside) => 0.25 * wanderAt(tide, aside + 20),
    pencil: (along, aside) => {
      const beside = Math.abs(aside - offset) - halfMm - 1.2;
      if (!through && beside < 0) return 0;
      const d = Math.abs(along - originAt - lean * aside) - pencilHalf;
      if (d > 0.12) return 0;
      const cover = d < 0 ? 1 : 1 - d / 0.12;
      return soot * cover * Math.max(0, Math.min(1, 0.85 + 0.22 * latticeAt(grain, aside, along)));
    },
  };
}

/** Signal over paper by height above the origin (CELL_MM) and filling of the lane (LEVELS up to FULLEST), interleaved RGB. */
interface LaneTable {
  readonly fromMm: number;
  readonly heights: number;
  readonly ratio: Float32Array;
}

function laneTable(order: StripOrder, profiles: readonly Profile[]): LaneTable {
  const { ink, paper, scanner } = order;
  const heights = profiles[0].moved.length;
  const ratio = new Float32Array(heights * LEVELS * 3).fill(1);
  const bare = toSignal(scanner, paper.reflectance);
  for (let h = 0; h < heights; h++) {
    const doses = profiles.map((p) => p.moved[h] + p.bound[h]);
    if (doses.every((d) => d < 1e-5)) continue;
    for (let level = 1; level < LEVELS; level++) {
      const fill = (FULLEST * level) / (LEVELS - 1);
      const s = toSignal(
        scanner,
        mixture(
          paper.reflectance,
          doses.map((d, i) => [i, d * fill] as const),
          ink,
        ),
      );
      const at = 3 * (h * LEVELS + level);
      for (let c = 0; c < 3; c++) ratio[at + c] = s[c] / bare[c];
    }
  }
  return { fromMm: profiles[0].fromMm, heights, ratio };
}

interface StripMarks {
  /** Signal over paper of the tideline at its darkest: paper's own soluble brown, gathered by the front. */
  readonly tide: Triple;
}

function stripMarks(order: StripOrder): StripMarks {
  const { paper, scanner } = order;
  const depth = stream(order.seed, `tide/${order.run}`).range(0.03, 0.09);
  const brown = paper.reflectance.map((r, l) =>
    filmReflectance(r, depth * (0.15 + 1 - edge(WAVELENGTHS[l], 470, 120)), 0),
  );
  const bare = toSignal(scanner, paper.reflectance);
  const s = toSignal(scanner, brown);
  return { tide: [s[0] / bare[0], s[1] / bare[1], s[2] / bare[2]] };
}

function paintLane(
  band: Band,
  place: Placement,
  travel: Travel,
  lane: Lane,
  colours: LaneTable | null,
  marks: StripMarks,
): void {
  const { data, widthPx, pxPerMm } = band;
  const { cos, sin } = turn(place);
  const half = STRIP.breadthMm / 2;
  for (let row = 0; row < band.rows; row++) {
    const dy = (band.firstRow + row + 0.5) / pxPerMm - place.centreMm[1];
    for (let x = 0, i = 3 * row * widthPx; x < widthPx; x++, i += 3) {
      const dx = (x + 0.5) / pxPerMm - place.centreMm[0];
      const [along, aside] = onStrip(travel, cos * dx + sin * dy, -sin * dx + cos * dy);
      if (Math.abs(aside) > half || along < 0 || along > STRIP.lengthMm) continue;
      const pencil = 1 - lane.pencil(along, aside);
      const tide = Math.exp(
        -0.5 * ((along - lane.frontAt - lane.tide(aside)) / (along > lane.frontAt ? 0.25 : 0.7)) ** 2,
      );
      for (let c = 0; c < 3; c++) data[i + c] *= pencil * (1 - tide * (1 - marks.tide[c]));
      if (!colours) continue;
      const { height, fill } = lane.at(along, aside);
      if (fill > 0.002) dye(data, i, colours, height, fill);
    }
  }
}

/** Multiplies a pixel by the lane's colour, bilinear in height and filling. */
function dye(data: Float32Array, i: number, colours: LaneTable, height: number, fill: number): void {
  const h = Math.min(colours.heights - 1.001, Math.max(0, (height - colours.fromMm) / CELL_MM));
  const f = Math.min(LEVELS - 1.001, (fill / FULLEST) * (LEVELS - 1));
  const h0 = Math.floor(h);
  const f0 = Math.floor(f);
  const u = h - h0;
  const v = f - f0;
  const at = 3 * (h0 * LEVELS + f0);
  const next = 3 * LEVELS;
  const { ratio } = colours;
  for (let c = 0; c < 3; c++) {
    const low = ratio[at + c] * (1 - v) + ratio[at + 3 + c] * v;
    const high = ratio[at + next + c] * (1 - v) + ratio[at + next + 3 + c] * v;
    data[i + c] *= low * (1 - u) + high * u;
  }
}

/** From mm about the strip's middle (x right, y down) to mm along the travel and aside of the strip's middle line. */
function onStrip(travel: Travel, x: number, y: number): [along: number, aside: number] {
  const half = STRIP.lengthMm / 2;
  if (travel === 'up') return [half - y, x];
  if (travel === 'down') return [half + y, -x];
  if (travel === 'right') return [half + x, y];
  return [half - x, -y];
}

/** The point on the strip's middle line, in the strip's own mm. */
function stripPoint(travel: Travel, along: number): readonly [number, number] {
  const middle = STRIP.breadthMm / 2;
  if (travel === 'up') return [middle, STRIP.lengthMm - along];
  if (travel === 'down') return [middle, along];
  if (travel === 'right') return [along, middle];
  return [STRIP.lengthMm - along, middle];
}

function tenth(mm: number): number {
  return Math.round(mm * 10) / 10;
}

/** Error function, Abramowitz & Stegun 7.1.26 (|error| < 1.5e-7; coefficients from memory, checked by a test). */
export function erf(x: number): number {
  const t = 1 / (1 + 0.3275911 * Math.abs(x));
  const poly = ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) * t;
  const value = 1 - poly * Math.exp(-x * x);
  return x < 0 ? -value : value;
}
