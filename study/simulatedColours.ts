/** Spectra that nobody measured, for studies: papers, inks on them at any dose, and printed targets. */
import { normal } from '../analysis/seededRandom.ts';
import { xyzToLab } from '../analysis/colour/lab.ts';
import { between } from './draw.ts';
import { WAVELENGTHS, xyzOf } from './spectra.ts';

export type Spectrum = readonly number[];

export const PAPER_KINDS = ['white', 'cream', 'grey', 'dyed'] as const;
export type PaperKind = (typeof PAPER_KINDS)[number];

/** A paper without brightener: pulp yellow at the short end, then toned by its kind. */
export function drawPaper(kind: PaperKind, random: () => number): Spectrum {
  const top = between(random, 0.82, 0.93);
  const yellow = kind === 'cream' ? between(random, 0.12, 0.45) : between(random, 0.02, 0.12);
  const fall = between(random, 30, 70);
  const grey = kind === 'grey' ? between(random, 0.15, 0.8) : 0;
  const dye = kind === 'dyed' ? drawAbsorption(random) : WAVELENGTHS.map(() => 0);
  const strength = between(random, 0.1, 0.7);
  return WAVELENGTHS.map(
    (nm, i) => top * Math.exp(-yellow * Math.exp(-(nm - 380) / fall) * 2 - grey - strength * dye[i]),
  );
}

export interface SimulatedInk {
  /** Absorption, maximum 1. */
  readonly k: Spectrum;
  /** Scattering per unit dose: of dyes alike at all wavelengths, of pigments a spectrum. */
  readonly scatter: number | Spectrum;
}

export function drawInk(absorption: Spectrum, random: () => number): SimulatedInk {
  return { k: absorption, scatter: 0.025 * Math.exp(0.9 * normal(random)) };
}

/** How much broader a dye's bands are on paper, where molecules lie on one another, than in solution. No source; a choice of this study. */
const BROADER = 1.2;

/** One to four lobes on a low broad base, often with a shoulder on the short side; some broad blacks. */
export function drawAbsorption(random: () => number): Spectrum {
  const floor = between(random, 0.003, 0.012);
  const k = WAVELENGTHS.map(() => floor);
  const add = (peak: number, sd: number, height: number): void => {
    WAVELENGTHS.forEach((nm, i) => (k[i] += height * Math.exp(-(((nm - peak) / sd) ** 2) / 2)));
  };
  if (random() < 0.15) {
    for (let n = 0; n < 3; n++) add(between(random, 420, 680), between(random, 60, 120), between(random, 0.5, 1));
  } else {
    const lobes = 1 + Math.floor(4 * random() * random());
    for (let n = 0; n < lobes; n++) {
      const peak = between(random, 395, 705);
      const sd = BROADER * 31 * Math.exp(0.3 * normal(random));
      const height = n === 0 ? 1 : -Math.log(1 - random()) * 0.6;
      add(peak, sd, height);
      if (random() < 0.5)
        add(peak - between(random, 25, 50), sd * between(random, 0.8, 1.3), height * between(random, 0.2, 0.6));
      add(peak, 95, height * between(random, 0.03, 0.12));
      if (random() < 0.3) add(400, between(random, 20, 45), height * between(random, 0.1, 0.5));
    }
  }
  return unitMaximum(k);
}

/** One to four real dyes mixed, as broad as on paper; each band moved by 6 nm and stretched by 10 % (standard deviations). */
export function mixDyes(dyes: readonly Spectrum[], random: () => number): Spectrum {
  const floor = between(random, 0.003, 0.012);
  const k = WAVELENGTHS.map(() => floor);
  const count = 1 + Math.floor(4 * random());
  for (let n = 0; n < count; n++) {
    const dye = dyes[Math.floor(random() * dyes.length)];
    const amount = -Math.log(1 - random());
    const shift = 6 * normal(random);
    const stretch = BROADER * Math.exp(0.1 * normal(random));
    const under = between(random, 0.03, 0.12);
    const peak = WAVELENGTHS[dye.indexOf(Math.max(...dye))];
    WAVELENGTHS.forEach(
      (nm, i) =>
        (k[i] +=
          amount *
          (readAt(dye, peak + (nm - peak - shift) / stretch) + under * Math.exp(-(((nm - peak) / 95) ** 2) / 2))),
    );
  }
  return unitMaximum(k);
}

/**
 * Reflectance of an ink film of a dose over a ground: Kubelka–Munk's layer on a ground.
 * Source: Kubelka 1948, J. Opt. Soc. Am. 38(5), 448–457.
 */
export function inkOnPaper(ink: SimulatedInk, dose: number, paper: Spectrum | Float64Array): Float64Array {
  const out = new Float64Array(WAVELENGTHS.length);
  for (let i = 0; i < out.length; i++) {
    const K = dose * ink.k[i];
    const S = dose * (typeof ink.scatter === 'number' ? ink.scatter : ink.scatter[i]);
    const g = Math.sqrt(K * (K + 2 * S));
    const c = g < 1e-3 ? 1 + (g * g) / 3 : g / Math.tanh(g);
    out[i] = (paper[i] * (c - K - S) + S) / (c + K + S - paper[i] * S);
  }
  return out;
}

export interface TargetSize {
  readonly levels: readonly number[];
  readonly greys: number;
}
/** About the ISO 12641 reflection target's wealth, a card printed at home, and the 24-patch chart's poverty. */
export const TARGET_SIZES = {
  large: { levels: [0, 0.14, 0.32, 0.56, 0.78, 1], greys: 24 },
  card: { levels: [0, 0.22, 0.5, 1], greys: 16 },
  small: { levels: [0, 0.45, 1], greys: 8 },
} as const satisfies Record<string, TargetSize>;

/** Three dyes in continuous tone (photographic), three in dots (Yule–Nielsen, n = 2), or five colorants and a flat black. */
export const TARGET_KINDS = ['photographic', 'dots', 'colorants'] as const;
export type TargetKind = (typeof TARGET_KINDS)[number];

export interface TargetPatch {
  readonly id: string;
  readonly grey: boolean;
  readonly reflectance: Float64Array;
}

/** With three dyes the greys are mixed from them and not flat; with a black they are. */
export function drawTarget(kind: TargetKind, size: TargetSize, random: () => number): TargetPatch[] {
  return kind === 'colorants' ? colorantTarget(size, random) : threeDyeTarget(kind, size, random);
}

function threeDyeTarget(kind: TargetKind, size: TargetSize, random: () => number): TargetPatch[] {
  const dyes = [
    drawPrintDye(random, 630, 668, 40, 58),
    drawPrintDye(random, 530, 556, 26, 40),
    drawPrintDye(random, 432, 458, 28, 42),
  ];
  const base = drawPaper('white', random);
  const gloss = between(random, 0, 0.006);
  const most = between(random, 1.6, 2.2);
  const tint = [1, 1 + 0.03 * normal(random), 1 + 0.03 * normal(random)];
  const print = (amounts: readonly number[]): Float64Array =>
    kind === 'dots' ? inDots(amounts, dyes, base, gloss, most) : inTone(amounts, dyes, base, gloss, most);
  const patches: TargetPatch[] = [];
  for (const c of size.levels) {
    for (const m of size.levels) {
      for (const y of size.levels) {
        patches.push({ id: `C${patches.length}`, grey: false, reflectance: print([c, m, y]) });
      }
    }
  }
  for (let i = 0; i < size.greys; i++) {
    const amount = (i / (size.greys - 1)) ** 1.2;
    const balance = neutral(amount, print).map((value, n) => Math.min(1, value * tint[n]));
    patches.push({ id: `G${i}`, grey: true, reflectance: print(balance) });
  }
  return patches;
}

function colorantTarget(size: TargetSize, random: () => number): TargetPatch[] {
  const colorants = [432, 492, 545, 585, 648].map((nm) => drawPrintDye(random, nm - 8, nm + 8, 30, 44));
  const tilt = between(random, -0.02, 0.02);
  const black = WAVELENGTHS.map((nm) => 1 + (tilt * (nm - 555)) / 175);
  const base = drawPaper('white', random);
  const print = (amounts: readonly number[], blackAmount: number): Float64Array => {
    const k = WAVELENGTHS.map((_, i) =>
      colorants.reduce((sum, dye, n) => sum + amounts[n] * dye[i], blackAmount * black[i]),
    );
    return inkOnPaper({ k, scatter: 0.012 }, 1, base);
  };
  const patches: TargetPatch[] = [];
  const count = size.levels.length ** 3;
  for (let i = 0; i < count; i++) {
    const amounts = colorants.map(() => 0);
    if (i % 3 === 2) {
      const raw = colorants.map(() => -Math.log(1 - random()));
      const level = 0.25 * 10 ** random();
      raw.forEach((value, n) => (amounts[n] = (1.6 * level * value) / raw.reduce((sum, v) => sum + v, 0)));
    } else {
      const first = Math.floor(5 * random());
      const share = random();
      const level = 0.15 * 13 ** random();
      amounts[first] = level * (1 - share);
      amounts[(first + 1) % 5] = level * share;
    }
    patches.push({
      id: `C${i}`,
      grey: false,
      reflectance: print(amounts, i % 4 === 0 ? between(random, 0.05, 0.5) : 0),
    });
  }
  for (let i = 0; i < size.greys; i++) {
    patches.push({
      id: `G${i}`,
      grey: true,
      reflectance: print([0, 0, 0, 0, 0], 0.01 + 2 * (i / (size.greys - 1)) ** 2),
    });
  }
  return patches;
}

function drawPrintDye(random: () => number, from: number, to: number, sdFrom: number, sdTo: number): Spectrum {
  const peak = between(random, from, to);
  const short = between(random, sdFrom, sdTo) * 1.1;
  const long = between(random, sdFrom, sdTo);
  const side = between(random, 0.02, 0.15);
  const k = WAVELENGTHS.map((nm) => {
    const main = Math.exp(-(((nm - peak) / (nm < peak ? short : long)) ** 2) / 2);
    return main + side * Math.exp(-(((nm - 420) / 60) ** 2) / 2) + 0.02;
  });
  return unitMaximum(k);
}

function inTone(
  amounts: readonly number[],
  dyes: readonly Spectrum[],
  base: Spectrum,
  gloss: number,
  most: number,
): Float64Array {
  return Float64Array.from(WAVELENGTHS, (_, i) => {
    const density = dyes.reduce((sum, dye, n) => sum + amounts[n] * dye[i], 0);
    return gloss + (base[i] - gloss) * 10 ** (-most * density);
  });
}

function inDots(
  amounts: readonly number[],
  dyes: readonly Spectrum[],
  base: Spectrum,
  gloss: number,
  most: number,
): Float64Array {
  return Float64Array.from(WAVELENGTHS, (_, i) => {
    let root = 0;
    for (let corner = 0; corner < 8; corner++) {
      let share = 1;
      let density = 0;
      for (let n = 0; n < 3; n++) {
        const on = (corner >> n) & 1;
        const area = Math.min(1, amounts[n]);
        share *= on ? area : 1 - area;
        if (on) density += dyes[n][i];
      }
      root += share * Math.sqrt(base[i] * 10 ** (-0.9 * most * density));
    }
    return gloss + (1 - gloss) * root * root;
  });
}

/** Amounts of the three dyes that look about grey: too red asks for less magenta, too yellow for less yellow. */
function neutral(amount: number, print: (amounts: readonly number[]) => Float64Array): number[] {
  const amounts = [amount, amount, amount];
  for (let round = 0; round < 12; round++) {
    const [, a, b] = xyzToLab(xyzOf(print(amounts)));
    amounts[1] = Math.min(1, amounts[1] * Math.exp(-0.012 * a));
    amounts[2] = Math.min(1, amounts[2] * Math.exp(-0.01 * b));
  }
  return amounts;
}

function readAt(values: Spectrum, nm: number): number {
  const at = Math.min(values.length - 1, Math.max(0, (nm - WAVELENGTHS[0]) / (WAVELENGTHS[1] - WAVELENGTHS[0])));
  const cell = Math.min(values.length - 2, Math.floor(at));
  return values[cell] + (at - cell) * (values[cell + 1] - values[cell]);
}

function unitMaximum(values: number[]): number[] {
  const top = Math.max(...values);
  return values.map((value) => value / top);
}
