/** The colours of a dose curve as a CSS gradient. */
import type { FilmCurve } from '../../electron/backend/filmAnswer.ts';
import { cssLab } from '../look/Swatch.tsx';
import { type DoseScale, shareOf } from './doseAlong.ts';

/** Palest at the left; nothing where the curve does not reach. */
export function rampGradient({ doses, lab }: FilmCurve, scale: DoseScale): string {
  const at = (dose: number): string => `${(100 * shareOf(scale, dose)).toFixed(2)}%`;
  const stops = doses.map((dose, i) => `${cssLab(lab[i])} ${at(dose)}`);
  const [first, last] = [doses[0], doses[doses.length - 1]];
  if (first === undefined || last === undefined) return 'none';
  return `linear-gradient(to right in lab, transparent ${at(first)}, ${stops.join(', ')}, transparent ${at(last)})`;
}

/** Leaves what was seen of a ramp. */
export function seenClip({ seen: [from, to] }: FilmCurve, scale: DoseScale): string {
  const left = 100 * shareOf(scale, from);
  const right = 100 * (1 - shareOf(scale, to));
  return `inset(0 ${right.toFixed(2)}% 0 ${left.toFixed(2)}%)`;
}
