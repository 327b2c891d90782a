/**
 * Absorption and scatter of pigments as inks might have them. A particle scatters by how far its refractive index lies from the binder's: of that a
 * part goes with absorption itself and a part with the index that absorption brings with it (anomalous dispersion, by Kramers and Kronig), strong on a
 * band's long side. Ranges are choices, no source; no measured pigment is among them.
 */
import { normal } from '../../analysis/seededRandom.ts';
import { WAVELENGTHS_NM } from '../../analysis/film/grid.ts';
import { between } from '../draw.ts';
import { drawLobes, drawMixture } from './drawInks.ts';

type Random = () => number;
type Curve = readonly number[];

const COUNT = WAVELENGTHS_NM.length;

export interface DrawnPigment {
  /** Maximum 1. */
  readonly k: Float64Array;
  /** Scatter in the unit of k. */
  readonly scatter: Float64Array;
}

/** One pigment, or two mixed. */
export function drawPigment(dyes: readonly Curve[], random: Random): DrawnPigment {
  const first = drawOne(dyes, random);
  if (random() < 0.5) return first;
  const second = drawOne(dyes, random);
  const share = between(random, 0.05, 0.95);
  const k = first.k.map((v, l) => (1 - share) * v + share * second.k[l]);
  const top = Math.max(...k);
  return {
    k: k.map((v) => v / top),
    scatter: first.scatter.map((v, l) => ((1 - share) * v + share * second.scatter[l]) / top),
  };
}

function drawOne(dyes: readonly Curve[], random: Random): DrawnPigment {
  const kind = random();
  const k =
    kind < 0.35
      ? drawLobes(random)
      : kind < 0.55
        ? drawMixture([dyes[Math.floor(random() * dyes.length)]], random)
        : kind < 0.85
          ? drawEdge(random)
          : drawBlack(random);
  return { k, scatter: drawScatter(k, random) };
}

/** Absorbs all that is shorter than its edge, as yellows, oranges and reds do. */
function drawEdge(random: Random): Float64Array {
  const edgeNm = between(random, 430, 640);
  const width = between(random, 4, 16);
  const tilt = between(random, -0.8, 0.5);
  const tail = between(random, 0, 0.05);
  const tailNm = between(random, 20, 80);
  const floor = 0.02 * random() ** 3;
  const k = Float64Array.from(WAVELENGTHS_NM, (nm) => {
    const edge = 1 / (1 + Math.exp((nm - edgeNm) / width));
    const far = nm > edgeNm ? tail * Math.exp(-(nm - edgeNm) / tailNm) : 0;
    return floor + edge * Math.exp((tilt * (nm - edgeNm)) / 175) + far;
  });
  return unitMaximum(k);
}

function drawBlack(random: Random): Float64Array {
  const tilt = between(random, -0.6, 0.4);
  const bow = between(random, -0.25, 0.25);
  return unitMaximum(
    Float64Array.from(WAVELENGTHS_NM, (nm) => {
      const t = (nm - 555) / 175;
      return Math.exp(tilt * t + bow * t * t);
    }),
  );
}

function drawScatter(k: Float64Array, random: Random): Float64Array {
  const base = 0.012 * Math.exp(1.1 * normal(random));
  const power = between(random, -2, 1);
  const follows = 0.05 * Math.exp(0.7 * normal(random));
  const bent = between(random, 0.7, 1.3);
  const dispersive = 0.06 * Math.abs(normal(random));
  const index = dispersion(k);
  return Float64Array.from(WAVELENGTHS_NM, (nm, l) => {
    const s = base * (nm / 555) ** power + follows * k[l] ** bent + dispersive * Math.max(0, index[l]);
    return Math.min(1, s);
  });
}

/** Hilbert transform over wavelength: what absorption at one wavelength does to the index at another, about 1 at its most. */
function dispersion(k: Float64Array): Float64Array {
  const out = new Float64Array(COUNT);
  for (let l = 0; l < COUNT; l++) {
    for (let m = 0; m < COUNT; m++) if (m !== l && (m - l) % 2 !== 0) out[l] += (2 / Math.PI) * (k[m] / (l - m));
  }
  return out;
}

function unitMaximum(k: Float64Array): Float64Array {
  const top = Math.max(...k);
  return k.map((v) => v / top);
}
