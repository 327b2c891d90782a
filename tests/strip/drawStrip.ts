/** A simulated run drawn as the scanner would see it: linear signals of a strip of paper, its lane, its flaws and its noise. */
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import type { RunResult } from './simulateRun.ts';

export type Travel = 'up' | 'down' | 'left' | 'right';
type Triple = readonly [number, number, number];

export interface StripLook {
  readonly dpi: number;
  readonly travel: Travel;
  readonly lengthMm: number;
  readonly widthMm: number;
  /** From the end where the run starts. */
  readonly originMm: number;
  readonly runMm: number;
  /** Full width of the coloured lane at half height; wider than the strip: it fills the strip. */
  readonly laneMm: number;
  /** Amplitude of the lane's wander, mm. */
  readonly wobbleMm: number;
  readonly paper: Triple;
  /** Darkening of light from one end to the other, share. */
  readonly unevenness: number;
  /** Standard deviations: scanner noise and fibres per pixel, clouds of 1.2 mm; shares of the paper's signal. */
  readonly noise: number;
  readonly fibres: number;
  readonly clouds: number;
  /** Density of the pencil line at the origin and of the tideline at the front; 0: none. */
  readonly pencil: number;
  readonly tideline: number;
  /** Bed or lid seen beyond the strip's long edges, mm and signal; 0: none. */
  readonly bedMm: number;
  readonly bed: Triple;
  /** How colour lies on paper: 'absorbance' adds densities, 'layer' adds K/S (Kubelka–Munk, opaque paper). */
  readonly optics: 'absorbance' | 'layer';
  readonly seed: number;
  /** How far the strip's middle bulges off a straight line between its ends, mm, and how it leans in the box. */
  readonly bendMm?: number;
  readonly leanDeg?: number;
  /** The front's line: paper's own brown over the whole width, or a pencil tick of 2.5 mm at one edge. @default 'tideline' */
  readonly frontLine?: 'tideline' | 'tick';
  /** Colour of the origin's line, densities relative to `pencil`. @default grey */
  readonly originInk?: Triple;
  /** Where the paper ends along the travel, mm; bed beyond. @default beyond the box */
  readonly paperEndMm?: number;
  /** By what share the bed is darker at that end, where the lid stands off: falls with the distance from the paper, 1/e in 0.35 mm. @default 0 */
  readonly endShade?: number;
  /** Light falls by this share past a place along the travel, within a millimetre: a shadow. */
  readonly shadow?: { readonly fromMm: number; readonly share: number };
}

export const PLAIN_LOOK: StripLook = {
  dpi: 150,
  travel: 'up',
  lengthMm: 95,
  widthMm: 18,
  originMm: 12,
  runMm: 70,
  laneMm: 8,
  wobbleMm: 0.6,
  paper: [0.84, 0.83, 0.79],
  unevenness: 0.02,
  noise: 0.004,
  fibres: 0.012,
  clouds: 0.003,
  pencil: 0.25,
  tideline: 0.03,
  bedMm: 0,
  bed: [0.95, 0.95, 0.95],
  optics: 'absorbance',
  seed: 1,
};

/** Density of one dye's concentration on this paper, one channel: what it would show alone. */
export function density(concentration: number, strength: number, paper: number, optics: StripLook['optics']): number {
  if (optics === 'absorbance') return concentration * strength;
  const bare = (1 - paper) ** 2 / (2 * paper);
  return -Math.log10(layer(bare + concentration * strength) / paper);
}

function layer(ks: number): number {
  return 1 + ks - Math.sqrt(ks * ks + 2 * ks);
}

/** @param colours per dye, per channel: density (or K/S) of concentration 1. Fixed dye shares its dye's colour. */
export function drawStrip(run: RunResult, colours: readonly Triple[], look: StripLook): LinearRaster {
  const px = 25.4 / look.dpi;
  const along = Math.round(look.lengthMm / px);
  const across = Math.round((look.widthMm + 2 * look.bedMm) / px);
  const random = seededRandom(look.seed);
  const field = texture(along, across, px, look, random);
  const phase = random() * 6.28;
  const data = new Float32Array(3 * along * across);
  const [strideAlong, strideAcross, reversed] = strides(look.travel, along, across);
  const amounts = run.dyes.map((dye) => dye.moved.map((v, i) => v + dye.fixed[i]));
  const c = new Float64Array(amounts.length);
  const ends = look.paperEndMm ?? Number.POSITIVE_INFINITY;
  for (let a = 0; a < along; a++) {
    const straight = lieOf(look, (a + 0.5) * px, 0).along;
    for (let q = 0; q < across; q++) {
      const { along: mm, aside } = isBent(look)
        ? lieOf(look, (a + 0.5) * px, (q + 0.5) * px - look.bedMm - look.widthMm / 2)
        : { along: straight, aside: (q + 0.5) * px - look.bedMm - look.widthMm / 2 };
      const cell = (mm - look.originMm - run.fromMm) / run.stepMm - 0.5;
      amounts.forEach((amount, d) => (c[d] = sample(amount, cell)));
      const centre = look.bedMm + look.widthMm / 2 + look.wobbleMm * Math.sin((mm / look.lengthMm) * 5 + phase);
      const shade =
        look.shadow === undefined ? 1 : 1 - look.shadow.share / (1 + Math.exp(-4 * (mm - look.shadow.fromMm)));
      const light = (1 - look.unevenness * (mm / look.lengthMm - 0.5)) * shade;
      const lines = look.pencil * line(mm - look.originMm, 0.18);
      const front = mm - look.originMm - look.runMm;
      const tick = look.frontLine === 'tick';
      const tide = tick ? 0 : look.tideline * line(front, 0.35);
      const acrossMm = look.bedMm + look.widthMm / 2 + aside;
      const ticked = tick && aside > look.widthMm / 2 - 2.5 ? 0.25 * line(front, 0.18) : 0;
      const at = 3 * ((reversed ? along - 1 - a : a) * strideAlong + q * strideAcross);
      const onStrip = acrossMm > look.bedMm && acrossMm < look.bedMm + look.widthMm && mm < ends;
      const t = Math.abs(acrossMm - centre) / (look.laneMm / 2);
      const inLane = t > 2 ? 0 : 1 / (1 + t ** 10);
      for (let k = 0; k < 3; k++) {
        let signal = look.bed[k] * (mm < ends ? 1 : 1 - (look.endShade ?? 0) * Math.exp((ends - mm) / 0.35));
        if (onStrip) {
          const strength = mixture(c, colours, k) * inLane;
          const grey = lines * (look.originInk?.[k] ?? 1) + ticked + tide * [0.6, 0.8, 1.3][k];
          signal =
            look.paper[k] *
            light *
            field[a * across + q] *
            10 ** -(density(strength, 1, look.paper[k], look.optics) + grey);
        }
        data[at + k] = signal + look.noise * look.paper[k] * gauss(random);
      }
    }
  }
  const wide = look.travel === 'left' || look.travel === 'right';
  return {
    data,
    widthPx: wide ? along : across,
    heightPx: wide ? across : along,
    dpi: look.dpi,
    originPx: [0, 0],
    clipped: new Uint8Array(along * across),
  };
}

function isBent({ bendMm = 0, leanDeg = 0 }: StripLook): boolean {
  return bendMm !== 0 || leanDeg !== 0;
}

/** Where a point of the box lies on the strip: along its middle line and aside of it, mm. @param y from the box's middle line. */
function lieOf(look: StripLook, x: number, y: number): { along: number; aside: number } {
  if (!isBent(look)) return { along: x, aside: y };
  const { lengthMm } = look;
  const { at, slope } = middleLine(look, x);
  const cos = 1 / Math.hypot(1, slope);
  // The foot of the perpendicular, to first order in the bend.
  const foot = x + (y - at) * slope * cos * cos;
  return { along: arcTo(look, foot) - arcTo(look, lengthMm / 2) + lengthMm / 2, aside: (y - at) * cos };
}

function middleLine({ lengthMm, bendMm = 0, leanDeg = 0 }: StripLook, x: number): { at: number; slope: number } {
  const s = x / lengthMm;
  const lean = Math.tan((leanDeg * Math.PI) / 180);
  return {
    at: bendMm * (4 * s * (1 - s) - 2 / 3) + lean * (x - lengthMm / 2),
    slope: (bendMm * 4 * (1 - 2 * s)) / lengthMm + lean,
  };
}

/** Length of the middle line from the box's end to x, by its closed form (a parabola's). */
function arcTo(look: StripLook, x: number): number {
  const { lengthMm, bendMm = 0 } = look;
  const part = (slope: number): number => 0.5 * (slope * Math.hypot(1, slope) + Math.asinh(slope));
  const [from, to] = [middleLine(look, 0).slope, middleLine(look, x).slope];
  const curvature = (-8 * bendMm) / lengthMm ** 2;
  return Math.abs(curvature) < 1e-12 ? x * Math.hypot(1, from) : (part(to) - part(from)) / curvature;
}

/** Where the middle line of the strip is so far along, mm of the box from the end where the run starts. */
export function boxPlace(look: StripLook, alongMm: number): number {
  let x = alongMm;
  for (let round = 0; round < 20; round++) x += alongMm - lieOf(look, x, middleLine(look, x).at).along;
  return x;
}

/** Origin and front as a sheet gives them: from the box's top (or left) edge, on the strip's middle line. */
export function givenDistances(look: StripLook): { originMm: number; frontMm: number } {
  const px = 25.4 / look.dpi;
  const box = Math.round(look.lengthMm / px) * px;
  const fromStart = look.travel === 'down' || look.travel === 'right';
  const [origin, front] = [boxPlace(look, look.originMm), boxPlace(look, look.originMm + look.runMm)];
  const originMm = fromStart ? origin : box - origin;
  const frontMm = fromStart ? front : box - front;
  return { originMm, frontMm };
}

function strides(travel: Travel, along: number, across: number): [along: number, across: number, reversed: boolean] {
  return travel === 'down' || travel === 'up' ? [across, 1, travel === 'up'] : [1, along, travel === 'left'];
}

function mixture(c: Float64Array, colours: readonly Triple[], channel: number): number {
  let sum = 0;
  for (let d = 0; d < c.length; d++) sum += c[d] * colours[d][channel];
  return sum;
}

function line(mm: number, halfMm: number): number {
  return Math.abs(mm) > 4 * halfMm ? 0 : Math.exp(-0.5 * (mm / halfMm) ** 2);
}

function sample(values: Float64Array, at: number): number {
  const i = Math.floor(at);
  if (i < 0 || i >= values.length - 1) return 0;
  return values[i] + (at - i) * (values[i + 1] - values[i]);
}

/** Paper's own pattern: fibres (0.15 mm) and clouds (1.2 mm), grey, mean 1. */
function texture(along: number, across: number, px: number, look: StripLook, random: () => number): Float32Array {
  const fine = patches(along, across, Math.max(1, Math.round(0.15 / px)), random);
  const coarse = patches(along, across, Math.max(2, Math.round(1.2 / px)), random);
  return fine.map((v, i) => 1 + look.fibres * v + look.clouds * coarse[i]);
}

/** Unit normal noise of a grain: random knots a grain apart, joined by straight lines, scaled back to unit deviation. */
function patches(along: number, across: number, grain: number, random: () => number): Float32Array {
  const w = Math.ceil(across / grain) + 2;
  const h = Math.ceil(along / grain) + 2;
  const knots = Float32Array.from({ length: w * h }, () => gauss(random));
  const out = new Float32Array(along * across);
  const scale = grain === 1 ? 1 : 1.5; // bilinear mixing lowers the deviation to 2/3
  for (let a = 0; a < along; a++) {
    const ya = a / grain;
    const y = Math.floor(ya);
    const v = ya - y;
    for (let q = 0; q < across; q++) {
      const xa = q / grain;
      const x = Math.floor(xa);
      const u = xa - x;
      const i = y * w + x;
      out[a * across + q] =
        scale *
        ((1 - v) * ((1 - u) * knots[i] + u * knots[i + 1]) + v * ((1 - u) * knots[i + w] + u * knots[i + w + 1]));
    }
  }
  return out;
}

/** Standard normal, Box–Muller. */
function gauss(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(6.283185307179586 * random());
}
