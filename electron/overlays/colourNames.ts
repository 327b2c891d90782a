import { labD50 } from '../../analysis/colour/lab.ts';
import { spokenName } from '../../analysis/colour/spokenName.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { isLab } from './figures.ts';

/** The measured colour's name; two names when the border between them lies within the uncertainty; '' without a colour. */
export function colourName(q: Quantity): string {
  return isLab(q.value) ? spokenName(labD50(...q.value), isLab(q.u) ? q.u : [0, 0, 0]) : '';
}
