/**
 * An invented flatbed: three channels = lamp × filter bands, then a matrix, then a tone curve each. Nothing in it is the
 * observer's, so no map from its values to colour can be exact. All ranges are invented.
 */
import { stream } from './random.ts';
import type { Random } from './random.ts';
import { GRID, curve, dot, edge, skewedBell } from './spectra.ts';
import type { Curve } from './spectra.ts';

export type Triple = readonly [number, number, number];
export type LampKind = 'led' | 'line';

export interface Scanner {
  readonly lamp: LampKind;
  /** Weights per channel on GRID, sum 1 (a perfect white gives signal 1); slightly negative in places, as the matrix makes them. */
  readonly sensitivity: readonly [Curve, Curve, Curve];
  readonly tone: readonly [ToneLaw, ToneLaw, ToneLaw];
  /** Stray light: this share of full light is added everywhere. */
  readonly flare: Triple;
  /** Standard deviation of the optical blur (Gaussian). */
  readonly blurSdMm: number;
  /** Relative standard deviation of one pixel of a perfect white. */
  readonly photonNoise: number;
  /** Standard deviation in the dark, in units of the perfect white. */
  readonly readNoise: number;
  readonly light: BedLight;
  /** Reflectance of the lid's inner side, the same at all wavelengths. */
  readonly lid: number;
}

/** device = black + span·((x + toe)^(1/gamma) − toe^(1/gamma)) / ((1 + toe)^(1/gamma) − toe^(1/gamma)), 0..1, cut at 1. */
export interface ToneLaw {
  readonly gamma: number;
  readonly toe: number;
  readonly black: number;
  readonly span: number;
}

/** Light over the bed, relative: a curved profile along the lamp (x), a slow drift along the travel (y). */
export interface BedLight {
  /** Per channel: linear and quadratic part across the bed, in units of x = (mm − 108)/108. */
  readonly across: readonly [readonly [number, number], readonly [number, number], readonly [number, number]];
  /** Linear part and a slow wave along the bed, all channels alike. */
  readonly alongLinear: number;
  readonly alongWave: number;
  readonly alongPhase: number;
}

export interface ScannerOptions {
  /** Factor on both noises. */
  readonly noise?: number;
  /** Factor on the unevenness of the light; 0: even. */
  readonly unevenLight?: number;
  /** Set the white so high that paper clips. */
  readonly clipped?: boolean;
  readonly lamp?: LampKind;
}

export function drawScanner(seed: number, options: ScannerOptions = {}): Scanner {
  const choice = stream(seed, 'scanner/lamp');
  const lamp = options.lamp ?? (choice.uniform() < 0.75 ? 'led' : 'line');
  const power = lamp === 'led' ? ledLamp(choice) : lineLamp(choice);
  const bands = stream(seed, 'scanner/bands');
  const lit = (band: Curve): Curve => unitSum(band.map((b, i) => b * power[i]));
  const raw = [lit(redBand(bands)), lit(greenBand(bands)), lit(blueBand(bands))] as const;
  const noise = stream(seed, 'scanner/noise');
  const stray = stream(seed, 'scanner/flare');
  const level = stray.range(0.002, 0.006);
  const factor = options.noise ?? 1;
  return {
    lamp,
    sensitivity: mix(raw, stream(seed, 'scanner/matrix')),
    tone: drawTone(stream(seed, 'scanner/tone'), options.clipped ?? false),
    flare: [level * stray.range(0.85, 1.15), level * stray.range(0.85, 1.15), level * stray.range(0.85, 1.15)],
    blurSdMm: (stream(seed, 'scanner/blur').range(0.5, 0.9) * 25.4) / 300,
    photonNoise: factor * noise.range(0.001, 0.0025),
    readNoise: factor * noise.range(0.0002, 0.0005),
    light: drawLight(stream(seed, 'scanner/light'), options.unevenLight ?? 1),
    lid: drawLid(stream(seed, 'scanner/lid')),
  };
}

/** Signal per channel of a reflectance on GRID; perfect white = 1. */
export function toSignal(scanner: Scanner, reflectance: ArrayLike<number>): Triple {
  const [r, g, b] = scanner.sensitivity;
  return [dot(r, reflectance), dot(g, reflectance), dot(b, reflectance)];
}

/** Device value 0..1 of a linear signal, before noise and rounding. */
export function toneValue(law: ToneLaw, signal: number): number {
  const root = (v: number): number => Math.max(0, v) ** (1 / law.gamma);
  const span = (root(signal + law.toe) - root(law.toe)) / (root(1 + law.toe) - root(law.toe));
  return law.black + law.span * span;
}

/** Relative light at a place of the bed, mm from the top left of the scan. */
export function lightAt(light: BedLight, channel: 0 | 1 | 2, xMm: number, yMm: number): number {
  return 1 + lightAcross(light, channel, xMm) + lightAlong(light, yMm);
}

export function lightAcross(light: BedLight, channel: 0 | 1 | 2, xMm: number): number {
  const x = (xMm - 108) / 108;
  const [linear, quadratic] = light.across[channel];
  return linear * x + quadratic * (x * x - 0.33);
}

export function lightAlong(light: BedLight, yMm: number): number {
  return light.alongLinear * ((yMm - 148) / 148) + light.alongWave * Math.sin(yMm / 60 + light.alongPhase);
}

/** Mostly white, at times a grey. */
function drawLid(random: Random): number {
  return random.uniform() < 0.75 ? random.range(0.72, 0.81) : random.range(0.3, 0.5);
}

function drawLight(random: Random, factor: number): BedLight {
  const half = factor * random.range(0.01, 0.025);
  const lean = random.range(-0.6, 0.6);
  const tint = (): readonly [number, number] => [
    half * (lean + random.range(-0.06, 0.06)),
    -half * (1 - Math.abs(lean)) * random.range(0.9, 1.1) * 1.5,
  ];
  return {
    across: [tint(), tint(), tint()],
    alongLinear: factor * random.range(-0.003, 0.003),
    alongWave: factor * random.range(0.0005, 0.0015),
    alongPhase: random.range(0, 6.28),
  };
}

function drawTone(random: Random, clipped: boolean): [ToneLaw, ToneLaw, ToneLaw] {
  const gamma = random.range(1.8, 2.4);
  const white = clipped ? random.range(1.08, 1.14) : random.range(0.93, 0.975);
  const law = (): ToneLaw => {
    const black = random.range(0.006, 0.014);
    return {
      gamma: gamma * random.range(0.985, 1.015),
      toe: random.range(0.002, 0.006),
      black,
      span: white * random.range(0.993, 1.007) - black,
    };
  };
  return [law(), law(), law()];
}

/** A blue pump, a broad phosphor, at times a red one beside it. */
function ledLamp(random: Random): Curve {
  const pumpNm = random.range(445, 461);
  const pumpSd = random.range(9, 14);
  const pump = random.range(0.7, 1.5);
  const phosphorNm = random.range(540, 568);
  const phosphorSd = random.range(38, 56);
  const phosphorSkew = random.range(-0.28, -0.1);
  const red = random.uniform() < 0.5 ? random.range(0.15, 0.6) : 0;
  const redNm = random.range(612, 642);
  const redSd = random.range(14, 32);
  return curve(
    (nm) =>
      pump * skewedBell(nm, pumpNm, pumpSd, 0) +
      skewedBell(nm, phosphorNm, phosphorSd, phosphorSkew) +
      red * skewedBell(nm, redNm, redSd, 0) +
      0.01,
  );
}

/** A cold-cathode tube: mercury's lines and three narrow phosphors over a low floor. */
function lineLamp(random: Random): Curve {
  const lines: readonly (readonly [number, number])[] = [
    [406, 0.12],
    [436, 0.5],
    [452, 0.7],
    [488, 0.3],
    [546, 1],
    [580, 0.25],
    [612, 0.9],
    [628, 0.2],
    [706, 0.08],
  ];
  const floor = random.range(0.1, 0.3);
  const drawn = lines.map(([nm, height]) => [nm, height * random.logNormal(1, 0.3), random.range(8, 13)] as const);
  return curve((nm) => floor + drawn.reduce((sum, [at, height, sd]) => sum + height * skewedBell(nm, at, sd, 0), 0));
}

/** Flat-topped band with a leak; `power` 2 is a bell, more is squarer. */
function band(random: Random, peakNm: number, widthNm: number): Curve {
  const power = random.range(2, 3.2);
  const leak = random.range(0.002, 0.03);
  return curve((nm) => Math.exp(-0.5 * Math.abs((nm - peakNm) / widthNm) ** power) + leak);
}

function redBand(random: Random): Curve {
  const cutNm = random.range(672, 708);
  return band(random, random.range(606, 626), random.range(26, 42)).map(
    (v, i) => v * (1 - edge(380 + 10 * i, cutNm, 18)),
  );
}
function greenBand(random: Random): Curve {
  return band(random, random.range(530, 544), random.range(26, 40));
}
function blueBand(random: Random): Curve {
  return band(random, random.range(446, 462), random.range(24, 38));
}

function unitSum(values: Curve): Curve {
  const sum = values.reduce((a, b) => a + b, 0);
  return values.map((v) => v / sum);
}

/** Rows sum to 1; what a maker's matrix takes from the neighbouring channels is mildly negative. */
function mix(raw: readonly [Curve, Curve, Curve], random: Random): [Curve, Curve, Curve] {
  const rg = random.range(-0.045, -0.01);
  const rb = random.range(-0.015, 0.01);
  const gr = random.range(-0.035, -0.01);
  const gb = random.range(-0.035, -0.01);
  const br = random.range(-0.008, 0.006);
  const bg = random.range(-0.022, -0.004);
  const row = (r: number, g: number, b: number): Curve => {
    const out = curve(() => 0);
    for (let i = 0; i < GRID.count; i++) out[i] = r * raw[0][i] + g * raw[1][i] + b * raw[2][i];
    return out;
  };
  return [row(1 - rg - rb, rg, rb), row(gr, 1 - gr - gb, gb), row(br, bg, 1 - br - bg)];
}
