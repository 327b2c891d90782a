/** What the target's map alone says where a finding is told through the film. */
import { labD50 } from '../colour/lab.ts';
import { spokenName } from '../colour/spokenName.ts';
import type { Flag, Quantity } from '../quantity.ts';
import { verdict } from './verdict.ts';

/** Flags of the fit, which say nothing of what the map tells. */
const OF_FIT: readonly Flag[] = ['film-misfit', 'lab-alone', 'narrow-absorption', 'few-doses', 'film-not-converged'];

/** The same finding as the target's map alone tells it; one that the fit did not tell stays. */
export function byMapAlone(finding: Quantity): Quantity {
  const { byMap, uParts: _, verdict: word, ...rest } = finding;
  if (byMap === undefined) return finding;
  const told = { ...rest, ...byMap, flags: finding.flags.filter((flag) => !OF_FIT.includes(flag)) };
  const again = word === undefined ? null : verdictOf(told);
  return again === null ? told : { ...told, verdict: again };
}

function verdictOf({ value, u, limits }: Pick<Quantity, 'value' | 'u' | 'limits'>): string | null {
  if (value === null || u === null) return null;
  if (typeof value === 'number') return typeof u === 'number' && limits ? verdict(value, u, limits) : null;
  return typeof u === 'number' ? null : spokenName(labD50(...value), u);
}
