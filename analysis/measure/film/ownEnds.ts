/** The ends that shading lies between as the ink alone would make them: what the film is asked for. */
import type { LabValue } from '../../quantity.ts';
import { triple } from '../../triple.ts';
import type { InkOrder } from '../inkOrder.ts';
import { LEAST_SHARE, type ShadingStatistic } from '../shading.ts';
import type { RegionDoses } from './doses.ts';

type Ends = Pick<RegionDoses, 'dark' | 'light'>;
const DARKEST = 1e-6;

/**
 * Paper and noise taken off, as shading.ts takes them off Lab: on the ink's curve they would pass for ink, by the more the less of it there is.
 *
 * @param ends Mean linear signals as found. @param hidden What steps of paper and of ink do to the signals' logarithms; null: of paper to all three alike, of ink as found.
 */
export function ownEnds(
  { dark, light }: Ends,
  { ownShare, ownStep, paperStep }: Pick<ShadingStatistic, 'ownShare' | 'ownStep' | 'paperStep'>,
  hidden: Pick<InkOrder, 'paperStep' | 'inkStep'> | null,
): Ends {
  const logs = ({ [0]: r, [1]: g, [2]: b }: LabValue): LabValue =>
    triple((c) => Math.log(Math.max(DARKEST, [r, g, b][c])));
  const [from, to] = [logs(dark), logs(light)];
  const step = (c: 0 | 1 | 2): number =>
    hidden === null
      ? (to[c] - from[c] - paperStep) / Math.max(ownShare, LEAST_SHARE)
      : ownShare * (to[c] - from[c] - paperStep * hidden.paperStep[c]) +
        (1 - ownShare ** 2) * ownStep * hidden.inkStep[c];
  const half = triple((c) => step(c) / 2);
  const middle = triple((c) => (from[c] + to[c]) / 2);
  return { dark: triple((c) => Math.exp(middle[c] - half[c])), light: triple((c) => Math.exp(middle[c] + half[c])) };
}
