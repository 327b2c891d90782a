/**
 * Spectra of a target of which only Lab is known, printed with three dyes and no black: draws of dyes that might have been, each printed so that
 * every patch has its Lab. The patches share the dyes, and so what is in doubt of one is in doubt of all: modes run over the whole target.
 */
import { EigenvalueDecomposition, Matrix } from 'ml-matrix';
import { labToXyz, type LabD50, type Xyz } from '../colour/lab.ts';
import { seededRandom } from '../seededRandom.ts';
import { GRID, WAVELENGTHS_NM, XYZ_WEIGHTS } from './grid.ts';
import { movedOnto } from './patchSpectra.ts';
import { solve3 } from './solve3.ts';

const COUNT = GRID.count;
const DRAWS = 40;
const MODES = 16;
const SEED = 20265;
const NEWTON_STEPS = 7;
/** In cube roots of XYZ: a hundredth of a step of L*. */
const CLOSE = 1e-4;

/** Continuous tone (Bouguer's law) or dots (Yule & Nielsen 1951). */
export type Printing = 'tone' | 'dots';

export interface TargetSpectra {
  /** One reflectance a patch. */
  readonly mean: readonly Float64Array[];
  /** modes[j][i]: how patch i goes with the j-th doubt, a unit normal. */
  readonly modes: readonly (readonly Float64Array[])[];
}

export function printedTarget(labs: readonly LabD50[], printing: Printing): TargetSpectra {
  const random = seededRandom(SEED);
  const xyz = labs.map((lab) => labToXyz(lab));
  const white = xyz.reduce((most, one) => (one[1] > most[1] ? one : most));
  const draws = Array.from({ length: DRAWS }, () => {
    const print = drawPrint(printing, white, random);
    return xyz.map((wanted) => printed(print, wanted));
  });
  return modesOfTargets(draws);
}

interface Print {
  readonly most: number;
  /** Fills four spectra: the reflectance, and its slopes by the three amounts. */
  readonly reflect: (amounts: readonly number[], out: readonly Float64Array[]) => void;
}

/** Ranges are choices, no source: about what photographic papers and three-colour prints are made of. */
function drawPrint(printing: Printing, white: Xyz, random: () => number): Print {
  const between = (low: number, high: number): number => low + (high - low) * random();
  const dye = (from: number, to: number, narrow: number, wide: number): Float64Array => {
    const peak = between(from, to);
    const short = between(narrow, wide) * 1.1;
    const long = between(narrow, wide);
    const side = between(0.01, 0.2);
    const sideNm = between(400, 440);
    const floor = between(0.005, 0.035);
    return Float64Array.from(
      WAVELENGTHS_NM,
      (nm) => bell(nm - peak, nm < peak ? short : long) + side * bell(nm - sideNm, 60) + floor,
    );
  };
  const dyes = [dye(622, 680, 34, 62), dye(524, 560, 24, 44), dye(426, 462, 25, 46)];
  const yellow = between(0.02, 0.3);
  const fall = between(25, 80);
  const base = movedOnto(
    white,
    Float64Array.from(WAVELENGTHS_NM, (nm) => white[1] * Math.exp(-yellow * Math.exp(-(nm - 380) / fall))),
  );
  const gloss = between(0, 0.007);
  if (printing === 'tone') {
    const reflect = (amounts: readonly number[], [r, c, m, y]: readonly Float64Array[]): void => {
      for (let l = 0; l < COUNT; l++) {
        const density = amounts[0] * dyes[0][l] + amounts[1] * dyes[1][l] + amounts[2] * dyes[2][l];
        const light = (base[l] - gloss) * Math.exp(-density);
        r[l] = gloss + light;
        c[l] = -light * dyes[0][l];
        m[l] = -light * dyes[1][l];
        y[l] = -light * dyes[2][l];
      }
    };
    return { most: 7, reflect };
  }
  const n = between(1.6, 2.6);
  const solid = dyes.map(() => between(2.6, 5));
  const corners = Array.from({ length: 8 }, (_, corner) =>
    Float64Array.from(base, (r, l) => {
      const density = dyes.reduce((sum, k, i) => sum + ((corner >> i) & 1) * solid[i] * k[l], 0);
      return (r * Math.exp(-density)) ** (1 / n);
    }),
  );
  const reflect = (amounts: readonly number[], out: readonly Float64Array[]): void => {
    const inked = amounts;
    const bare = amounts.map((v) => 1 - v);
    const root = [0, 0, 0, 0];
    for (let l = 0; l < COUNT; l++) {
      root.fill(0);
      for (let corner = 0; corner < 8; corner++) {
        const a = corner & 1 ? inked[0] : bare[0];
        const b = corner & 2 ? inked[1] : bare[1];
        const c = corner & 4 ? inked[2] : bare[2];
        const light = corners[corner][l];
        root[0] += a * b * c * light;
        root[1] += (corner & 1 ? light : -light) * b * c;
        root[2] += (corner & 2 ? light : -light) * a * c;
        root[3] += (corner & 4 ? light : -light) * a * b;
      }
      const whole = Math.max(root[0], 1e-4);
      const power = (1 - gloss) * whole ** (n - 1);
      out[0][l] = gloss + power * whole;
      for (let i = 1; i < 4; i++) out[i][l] = n * power * root[i];
    }
  };
  return { most: 1, reflect };
}

const scratch = [0, 1, 2, 3].map(() => new Float64Array(COUNT));

/** The amounts that give the wanted XYZ, by Newton's method on cube roots; what is left is moved. */
function printed({ reflect, most }: Print, wanted: Xyz): Float64Array {
  const goal = wanted.map((v) => Math.cbrt(v));
  let amounts = goal.map((v) => 0.4 * most * (1 - v));
  for (let step = 0; step < NEWTON_STEPS; step++) {
    reflect(amounts, scratch);
    const [r, ...slopes] = scratch;
    const here = XYZ_WEIGHTS.map((w) => Math.cbrt(weighed(w, r)));
    const rest = goal.map((v, k) => v - here[k]);
    if (Math.max(...rest.map(Math.abs)) < CLOSE) break;
    const move = solve3(
      slopes.map((slope) => XYZ_WEIGHTS.map((w, k) => weighed(w, slope) / (3 * here[k] * here[k]))),
      rest,
    );
    const share = Math.min(1, (0.35 * most) / Math.max(...move.map(Math.abs)));
    amounts = amounts.map((v, i) => Math.min(most, Math.max(-0.02 * most, v + share * move[i])));
  }
  reflect(amounts, scratch);
  return movedOnto(wanted, scratch[0]);
}

function weighed(w: Float64Array, r: Float64Array): number {
  let sum = 0;
  for (let l = 0; l < COUNT; l++) sum += w[l] * r[l];
  return sum;
}

function modesOfTargets(draws: readonly (readonly Float64Array[])[]): TargetSpectra {
  const patches = draws[0].length;
  const mean = Array.from({ length: patches }, (_, i) => {
    const sum = new Float64Array(COUNT);
    for (const draw of draws) for (let l = 0; l < COUNT; l++) sum[l] += draw[i][l] / draws.length;
    return sum;
  });
  const away = draws.map((draw) => draw.map((r, i) => r.map((v, l) => v - mean[i][l])));
  const gram = new Matrix(
    away.map((a) =>
      away.map((b) => {
        let sum = 0;
        for (let i = 0; i < patches; i++) for (let l = 0; l < COUNT; l++) sum += a[i][l] * b[i][l];
        return sum;
      }),
    ),
  );
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(gram, { assumeSymmetric: true });
  const order = realEigenvalues.map((_, k) => k).sort((a, b) => realEigenvalues[b] - realEigenvalues[a]);
  // Draws = Σ weight · mode: a mode of unit weight is the eigenvector's mixture of draws over √(draws − 1).
  const modes = order.slice(0, MODES).map((k) => {
    const weights = eigenvectorMatrix.getColumn(k);
    return mean.map((_, i) => {
      const mode = new Float64Array(COUNT);
      away.forEach((draw, m) => {
        for (let l = 0; l < COUNT; l++) mode[l] += (weights[m] * draw[i][l]) / Math.sqrt(draws.length - 1);
      });
      return mode;
    });
  });
  return { mean, modes };
}

function bell(distance: number, sd: number): number {
  return Math.exp(-((distance / sd) ** 2) / 2);
}
