import type { LabValue } from '../../analysis/quantity.ts';
import { screenGamut, withinGamut } from './gamut.ts';

export interface SwatchProps {
  readonly lab: LabValue;
  /** Side of the square: rem. @default 2 */
  readonly size?: number;
  /** What it is the colour of; screen readers hear it. */
  readonly label: string;
  /** Writes 'cannot be shown exactly' beside it where it is so; else a cut corner and its title say it. */
  readonly words?: boolean;
}

/** CSS lab() is CIELAB under D50, as our numbers are; the browser carries it to the screen's own space. */
export function cssLab([L, a, b]: LabValue): string {
  return `lab(${L.toFixed(2)} ${a.toFixed(2)} ${b.toFixed(2)})`;
}

/** A square of flat colour with a hairline of paper around. */
export function Swatch({ lab, size = 2, label, words = false }: SwatchProps) {
  const exact = withinGamut(lab, screenGamut());
  const name = exact ? label : `${label} (cannot be shown exactly)`;
  return (
    <span className="swatch">
      <span
        className="swatch-colour"
        title={name}
        style={{ width: `${size}rem`, height: `${size}rem`, backgroundColor: cssLab(lab) }}
        {...(!exact && { 'data-inexact': true })}
      >
        {name !== '' && <span className="visually-hidden">{name}</span>}
      </span>
      {words && !exact && <span className="swatch-words">cannot be shown exactly</span>}
    </span>
  );
}
