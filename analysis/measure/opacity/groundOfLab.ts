/** A paper's reflectance from its colour alone: what papers are like decides what three numbers leave open. */
import { D50, labD50, labToXyz } from '../../colour/lab.ts';
import { GRID, XYZ_WEIGHTS } from '../../film/grid.ts';
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

/** @param lab under D50, of bare paper, or of any ground that looks like one */
export function groundOfLab(lab: LabValue): Ground {
  const xyz = labToXyz(labD50(...lab));
  const { log, doubts } = groundEstimate([xyz[0] / D50[0], xyz[1] / D50[1], xyz[2] / D50[2]], EYES);
  return {
    reflectance: Array.from(log, Math.exp),
    doubts: doubts.map((doubt) => Array.from(doubt, (v, l) => Math.exp(log[l] + v))),
  };
}

/** A ground that sends back the same at every wavelength. */
export function flatGround(reflectance: number): Ground {
  return { reflectance: Array.from({ length: GRID.count }, () => reflectance), doubts: [] };
}
