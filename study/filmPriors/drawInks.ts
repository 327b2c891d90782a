/** Absorption curves as inks might have them, maximum 1: lobes that nobody measured, and measured dyes mixed. Ranges are choices, no source. */
import { normal } from '../../analysis/seededRandom.ts';
import { WAVELENGTHS_NM } from '../../analysis/film/grid.ts';
import { between } from '../draw.ts';

type Random = () => number;
type Curve = readonly number[];

/** Half of either, in random order, so that the first part of the list holds both. */
export function drawInks(count: number, dyes: readonly Curve[], random: Random): Float64Array[] {
  return Array.from({ length: count }, () => (random() < 0.5 ? drawLobes(random) : drawMixture(dyes, random)));
}

/** One to four lobes on a floor, often with a shoulder on the short side and a lobe near 400 nm; some broad blacks; some toned with a neutral one. */
export function drawLobes(random: Random): Float64Array {
  const k = new Float64Array(WAVELENGTHS_NM.length).fill(between(random, 0.001, 0.015));
  if (random() < NEUTRAL_SHARE) addNeutral(k, random);
  const add = (nm: number, sd: number, height: number): void => {
    for (let l = 0; l < k.length; l++) k[l] += height * bell(WAVELENGTHS_NM[l] - nm, sd);
  };
  if (random() < 0.15) {
    const parts = 2 + Math.floor(3 * random());
    for (let n = 0; n < parts; n++) add(between(random, 400, 700), between(random, 55, 130), between(random, 0.4, 1));
    return unitMaximum(k);
  }
  const lobes = 1 + Math.floor(4 * random() ** 1.6);
  for (let n = 0; n < lobes; n++) {
    const nm = between(random, 395, 705);
    const sd = 31 * Math.exp(0.3 * normal(random));
    const height = n === 0 ? 1 : -Math.log(1 - random()) * 0.7;
    add(nm, sd, height);
    if (random() < 0.5)
      add(nm - between(random, 25, 55), sd * between(random, 0.8, 1.4), height * between(random, 0.15, 0.6));
    if (random() < 0.4) add(between(random, 385, 415), between(random, 20, 50), height * between(random, 0.05, 0.5));
    if (random() < 0.7) add(nm, between(random, 80, 120), height * between(random, 0, 0.12));
  }
  return unitMaximum(k);
}

/** Inks with carbon or another black that absorbs at all wavelengths, alone or under colour. */
const NEUTRAL_SHARE = 0.16;

function addNeutral(k: Float64Array, random: Random): void {
  const height = random() < 0.3 ? between(random, 2, 10) : between(random, 0.05, 1);
  const tilt = between(random, -0.5, 0.3);
  const bow = between(random, -0.25, 0.25);
  for (let l = 0; l < k.length; l++) {
    const t = (WAVELENGTHS_NM[l] - 555) / 175;
    k[l] += height * Math.exp(tilt * t + bow * t * t);
  }
}

/** One to four dyes; amounts exponential, each band moved (sd 6 nm) and stretched (sd 10 %) about its peak. */
export function drawMixture(dyes: readonly Curve[], random: Random): Float64Array {
  const k = new Float64Array(WAVELENGTHS_NM.length).fill(0.002);
  const count = 1 + Math.floor(4 * random());
  for (let n = 0; n < count; n++) {
    const dye = dyes[Math.floor(random() * dyes.length)];
    const amount = -Math.log(1 - random());
    const shift = 6 * normal(random);
    const stretch = Math.exp(0.1 * normal(random)) * between(random, 1, 1.25);
    const under = random() < 0.5 ? between(random, 0, 0.1) : 0;
    const peakNm = WAVELENGTHS_NM[dye.indexOf(Math.max(...dye))];
    for (let l = 0; l < k.length; l++) {
      const nm = WAVELENGTHS_NM[l];
      k[l] += amount * (readAt(dye, peakNm + (nm - peakNm - shift) / stretch) + under * bell(nm - peakNm, 95));
    }
  }
  return unitMaximum(k);
}

function readAt(curve: Curve, nm: number): number {
  const at = Math.min(
    curve.length - 1,
    Math.max(0, (nm - WAVELENGTHS_NM[0]) / (WAVELENGTHS_NM[1] - WAVELENGTHS_NM[0])),
  );
  const cell = Math.min(curve.length - 2, Math.floor(at));
  return curve[cell] + (at - cell) * (curve[cell + 1] - curve[cell]);
}

function unitMaximum(k: Float64Array): Float64Array {
  const top = Math.max(...k);
  return k.map((v) => v / top);
}

function bell(distance: number, sd: number): number {
  return Math.exp(-((distance / sd) ** 2) / 2);
}
