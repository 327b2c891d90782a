/** What a region hands on to the film fit beside its doses: how well its shading repeats. */
import type { Xyz } from '../../colour/lab.ts';
import type { ShadingStatistic } from '../shading.ts';
import type { RegionDoses } from './doses.ts';

export interface InkDoses extends RegionDoses, Pick<ShadingStatistic, 'uRepeat'> {
  /** Read along core lines with the blur undone: too unsure to teach the fit. */
  readonly narrow: boolean;
  /** So narrow that the doses along its lines are mostly the grid's. @default false */
  readonly tooNarrow?: boolean;
  /** Mean linear signal where the pen passed twice; left out where that was not told. */
  readonly double?: readonly [number, number, number];
  /** Colours by how dense they are without those that lie near sheen; left out where none was found. */
  readonly beside?: readonly { readonly xyz: Xyz; readonly share: number }[];
}
