import { labD50 } from '../../analysis/colour/lab.ts';
import { isccNbsNames } from '../../analysis/colour/name.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { isLab } from './figures.ts';

/** The measured colour's name; two names when the border between them lies within the uncertainty; '' without a colour. */
export function colourName(q: Quantity): string {
  if (!isLab(q.value)) return '';
  const [own, other] = isccNbsNames(labD50(...q.value), isLab(q.u) ? q.u : [0, 0, 0]);
  return other === undefined ? own : eitherName(own.split(' '), other.split(' '));
}

/** 'strong yellow', 'brilliant yellow' → 'strong or brilliant yellow'. */
function eitherName(own: readonly string[], other: readonly string[]): string {
  let alike = 0;
  while (alike < Math.min(own.length, other.length) - 1 && own.at(-1 - alike) === other.at(-1 - alike)) alike++;
  const [start, otherStart] = [own.slice(0, own.length - alike), other.slice(0, other.length - alike)];
  // 'strong or strong purplish pink' would puzzle.
  if (start[0] === otherStart[0]) return [...own, 'or', ...other].join(' ');
  return [...start, 'or', ...otherStart, ...own.slice(own.length - alike)].join(' ');
}
