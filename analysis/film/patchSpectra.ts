/** What is known of a patch's reflectance: its spectrum, or what its Lab leaves open. */
import { Matrix, solve } from 'ml-matrix';
import { labToXyz, type LabD50, xyzToLab } from '../colour/lab.ts';
import { GRID, xyzOnGrid, XYZ_WEIGHTS } from './grid.ts';
import { inkStarts } from './inkPrior.ts';
import { layerReflectance } from './layer.ts';
import { modesOf, smoothModes } from './smoothModes.ts';

export interface PatchSpectrum {
  readonly mean: Float64Array;
  /** How it may be off: independent unit normals times these; none for a measured spectrum. */
  readonly doubt: readonly Float64Array[];
}

const NEIGHBOURS = 150;
const DOSES = [0.08, 0.25, 0.6, 1.3, 2.6];
const DOUBT_MODES = 6;
/** How flat the greys of a target are when only their Lab is known. */
const GREY_SD = 0.015;

interface Library {
  readonly lab: readonly LabD50[];
  readonly reflectance: readonly Float64Array[];
}
let library: Library | null = null;

export function spectrumFromLab(lab: LabD50, grey: boolean): PatchSpectrum {
  return grey ? greyFromLab(lab) : colourFromLab(lab);
}

/** The library's reflectances of nearest Lab, each first moved onto the exact XYZ. */
function colourFromLab(lab: LabD50): PatchSpectrum {
  library ??= makeLibrary();
  const { reflectance } = library;
  const near = library.lab
    .map((other, i) => ({ i, away: (other[0] - lab[0]) ** 2 + (other[1] - lab[1]) ** 2 + (other[2] - lab[2]) ** 2 }))
    .sort((a, b) => a.away - b.away)
    .slice(0, NEIGHBOURS);
  const xyz = labToXyz(lab);
  const { mean, modes } = modesOf(
    near.map(({ i }) => movedOnto(xyz, reflectance[i])),
    DOUBT_MODES,
  );
  return { mean, doubt: modes };
}

function greyFromLab(lab: LabD50): PatchSpectrum {
  const xyz = labToXyz(lab);
  const flat = movedOnto(xyz, new Float64Array(GRID.count).fill(xyz[1]));
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
  const off = xyzOnGrid(r).map((v, k) => xyz[k] - v);
  // The change is along r · (smoothed weights), so that dark places stay dark.
  const ways = SMOOTH_WEIGHTS.map((w) => w.map((v, l) => v * Math.max(r[l], 0.002)));
  const gram = new Matrix(
    [0, 1, 2].map((a) => [0, 1, 2].map((b) => XYZ_WEIGHTS[a].reduce((sum, v, l) => sum + v * ways[b][l], 0))),
  );
  const amounts = solve(gram, Matrix.columnVector([...off])).getColumn(0);
  return r.map((v, l) =>
    Math.max(1e-4, v + amounts[0] * ways[0][l] + amounts[1] * ways[1][l] + amounts[2] * ways[2][l]),
  );
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
