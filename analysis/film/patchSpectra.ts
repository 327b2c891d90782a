/** What is known of a patch's reflectance: its spectrum, or what its Lab leaves open. */
import { labToXyz, type LabD50, xyzToLab } from '../colour/lab.ts';
import { GRID, xyzOnGrid, XYZ_WEIGHTS } from './grid.ts';
import { inkStarts } from './inkPrior.ts';
import { layerReflectance } from './layer.ts';
import { smoothModes } from './smoothModes.ts';
import { solve3 } from '../solve3.ts';

const COUNT = GRID.count;

export interface PatchSpectrum {
  readonly mean: Float64Array;
  /** How it may be off: independent unit normals times these; none for a measured spectrum. */
  readonly doubt: readonly Float64Array[];
}

const NEIGHBOURS = 100;
/** Reflectance below which a change is no longer a share of it. */
const LEAST_MOVED = 0.002;
const DOSES = [0.08, 0.25, 0.6, 1.3, 2.6];
const DOUBT_MODES = 6;
/** How flat the greys of a target are when only their Lab is known. */
const GREY_SD = 0.015;

interface Library {
  readonly lab: readonly LabD50[];
  readonly reflectance: readonly Float64Array[];
}
let library: Library | null = null;

/** A reflectance of exactly this colour (D50, 2°) on the grid, with what its Lab leaves open. @param grey one of the target's grey steps */
export function spectrumFromLab(lab: LabD50, grey: boolean): PatchSpectrum {
  return grey ? greyFromLab(lab) : colourFromLab(lab);
}

/** The library's reflectances of nearest Lab, each first moved onto the exact XYZ. */
function colourFromLab(lab: LabD50): PatchSpectrum {
  library ??= makeLibrary();
  const { reflectance } = library;
  const away = new Float64Array(reflectance.length);
  for (const [i, [L, a, b]] of library.lab.entries()) {
    away[i] = (L - lab[0]) ** 2 + (a - lab[1]) ** 2 + (b - lab[2]) ** 2;
  }
  const limit = away.slice().sort()[NEIGHBOURS - 1];
  const xyz = labToXyz(lab);
  return spreadOf(reflectance.filter((_, i) => away[i] <= limit).map((r) => movedOnto(xyz, r)));
}

/** Mean, and the covariance as a few columns of its Cholesky factor, the widest wavelength first. */
function spreadOf(curves: readonly Float64Array[]): PatchSpectrum {
  const mean = new Float64Array(COUNT);
  for (const curve of curves) for (let l = 0; l < COUNT; l++) mean[l] += curve[l] / curves.length;
  const away = curves.map((curve) => curve.map((v, l) => v - mean[l]));
  const left = new Float64Array(COUNT);
  for (const curve of away) for (let l = 0; l < COUNT; l++) left[l] += curve[l] ** 2 / (curves.length - 1);
  const doubt: Float64Array[] = [];
  for (let n = 0; n < DOUBT_MODES; n++) {
    const widest = left.indexOf(Math.max(...left));
    if (left[widest] <= 0) break;
    const column = new Float64Array(COUNT);
    for (const curve of away)
      for (let l = 0; l < COUNT; l++) column[l] += (curve[l] * curve[widest]) / (curves.length - 1);
    for (const before of doubt) for (let l = 0; l < COUNT; l++) column[l] -= before[l] * before[widest];
    const root = Math.sqrt(left[widest]);
    for (let l = 0; l < COUNT; l++) {
      column[l] /= root;
      left[l] = Math.max(0, left[l] - column[l] ** 2);
    }
    left[widest] = 0;
    doubt.push(column);
  }
  return { mean, doubt };
}

function greyFromLab(lab: LabD50): PatchSpectrum {
  const xyz = labToXyz(lab);
  const flat = movedOnto(xyz, new Float64Array(COUNT).fill(xyz[1]));
  const waves = smoothModes(60, DOUBT_MODES);
  // Only what the eye cannot see of a wave is in doubt: the Lab is known.
  const doubt = waves.map((wave) => {
    const off = flat.map((v, l) => v * (1 + GREY_SD * wave[l]));
    const back = movedOnto(xyz, off);
    return back.map((v, l) => v - flat[l]);
  });
  return { mean: flat, doubt };
}

/** The least smooth change of a reflectance that gives it this XYZ. */
export function movedOnto(xyz: readonly number[], r: Float64Array): Float64Array {
  const off = [xyz[0], xyz[1], xyz[2]];
  // The change is along r · (smoothed weights), so that dark places stay dark.
  const columns = [
    [0, 0, 0],
    [0, 0, 0],
    [0, 0, 0],
  ];
  const [sx, sy, sz] = SMOOTH_WEIGHTS;
  for (let a = 0; a < 3; a++) {
    const w = XYZ_WEIGHTS[a];
    let [rest, x, y, z] = [off[a], 0, 0, 0];
    for (let l = 0; l < COUNT; l++) {
      const part = w[l] * Math.max(r[l], LEAST_MOVED);
      rest -= w[l] * r[l];
      x += part * sx[l];
      y += part * sy[l];
      z += part * sz[l];
    }
    off[a] = rest;
    [columns[0][a], columns[1][a], columns[2][a]] = [x, y, z];
  }
  const [x, y, z] = solve3(columns, off, 1e-30) ?? [0, 0, 0];
  const out = new Float64Array(COUNT);
  for (let l = 0; l < COUNT; l++) {
    const way = x * sx[l] + y * sy[l] + z * sz[l];
    out[l] = Math.max(1e-4, r[l] + Math.max(r[l], LEAST_MOVED) * way);
  }
  return out;
}

/** The XYZ weights blurred over 60 nm. */
const SMOOTH_WEIGHTS: readonly Float64Array[] = XYZ_WEIGHTS.map((w) =>
  w.map((_, l) => w.reduce((sum, v, m) => sum + v * Math.exp(-((((l - m) * GRID.stepNm) / 40) ** 2) / 2), 0)),
);

/** Inks of the prior on a white ground: what printers' colours look like, too. */
function makeLibrary(): Library {
  const reflectance: Float64Array[] = [];
  inkStarts().forEach((k, n) => {
    DOSES.forEach((dose, d) => {
      if ((n + d) % 2 === 0) return;
      reflectance.push(k.map((v) => layerReflectance(0.9, dose * v, 0.02 * dose)));
    });
  });
  return { reflectance, lab: reflectance.map((r) => xyzToLab(xyzOnGrid(r))) };
}
