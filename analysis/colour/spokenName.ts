import type { LabD50 } from './lab.ts';
import { isccNbsNames } from './name.ts';

/** A colour's ISCC–NBS name; both names when the border between them lies within the uncertainty ('strong or brilliant yellow'). */
export function spokenName(lab: LabD50, u: readonly [number, number, number]): string {
  const [own, other] = isccNbsNames(lab, u);
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
