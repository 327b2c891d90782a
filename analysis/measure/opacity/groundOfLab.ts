/** A paper's reflectance from its colour alone: what papers are like decides what three numbers leave open. */
import { inverse3, times } from '../../colour/adapt.ts';
import { D50, labD50, labToXyz, type Xyz } from '../../colour/lab.ts';
import { GRID, XYZ_WEIGHTS, xyzOnGrid } from '../../film/grid.ts';
import { groundEstimate } from '../../film/ground.ts';
import type { LabValue } from '../../quantity.ts';

export interface Ground {
  /** On the grid of analysis/film/grid.ts. */
  readonly reflectance: readonly number[];
  /** The same, one standard deviation along each way that is left open. */
  readonly doubts: readonly (readonly number[])[];
}

/** XYZ over that of white, as if it were three sensors. */
const EYES = {
  curves: Float64Array.from({ length: 3 * GRID.count }, (_, i) => {
    const channel = Math.floor(i / GRID.count);
    return XYZ_WEIGHTS[channel][i % GRID.count] / D50[channel];
  }),
};

/** Papers darker than this are taken for paler ones of the same hue behind a grey veil: the known classes of paper end about here. */
const DARKEST = 0.25;
const VEILED = 0.45;
/** L* of the darkest: from nothing at all no reflectance can be told, and no eye tells this from it. */
const BLACKEST = 0.01;

/** @param lab under D50, of bare paper, or of any ground that looks like one @returns a reflectance of exactly this colour, or of the blackest */
export function groundOfLab([lightness, a, b]: LabValue): Ground {
  const xyz = labToXyz(labD50(Math.max(BLACKEST, lightness), a, b));
  const veil = xyz[1] < DARKEST ? xyz[1] / VEILED : 1;
  const { log, doubts } = groundEstimate(
    [xyz[0] / D50[0] / veil, xyz[1] / D50[1] / veil, xyz[2] / D50[2] / veil],
    EYES,
  );
  const paper = Array.from(log, (v) => veil * Math.exp(v));
  const reflectance = brought(paper, xyz);
  return {
    reflectance,
    doubts: doubts.map((doubt) =>
      brought(
        paper.map((v, l) => v * Math.exp(doubt[l])),
        xyz,
      ),
    ),
  };
}

/** Broad bands that a spectrum is brought onto its colour by, nm and standard deviation: about those of the eye's three curves. */
const BANDS = [
  [610, 45],
  [545, 45],
  [450, 35],
] as const;
const SHAPES = BANDS.map(([middle, sd]) =>
  Array.from({ length: GRID.count }, (_, l) => {
    const away = (GRID.firstNm + GRID.stepNm * l - middle) / sd;
    return Math.exp(-0.5 * away * away);
  }),
);
const ROUNDS = 8;

/** The spectrum times three smooth bands, so that its XYZ is this one; Newton's way in the logarithm. */
function brought(spectrum: readonly number[], wanted: Xyz): number[] {
  let here = [...spectrum];
  for (let round = 0; round < ROUNDS; round++) {
    const now = xyzOnGrid(here);
    const slopes = [0, 1, 2].map((k) =>
      SHAPES.map((shape) => here.reduce((sum, r, l) => sum + XYZ_WEIGHTS[k][l] * r * shape[l], 0)),
    );
    const step = times(inverse3(slopes), [wanted[0] - now[0], wanted[1] - now[1], wanted[2] - now[2]]);
    const longest = Math.max(...step.map(Math.abs));
    const share = Math.min(1, 1.5 / Math.max(1e-12, longest));
    here = here.map((r, l) =>
      Math.min(MOST, r * Math.exp(share * SHAPES.reduce((sum, shape, c) => sum + step[c] * shape[l], 0))),
    );
    if (longest < 1e-7) break;
  }
  return here;
}

/** A layer's formula holds for grounds that send back no more than they get; a brightened paper seems to, a little. */
const MOST = 1.05;
