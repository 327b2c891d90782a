/** A finding's figures as text: as many decimals as the uncertainty supports, and what a column needs to align them. */
import type { Quantity, Unit } from '../../../analysis/quantity.ts';
import { withUncertainty } from '../../../analysis/report/valueText.ts';
import { isLab } from './bench.ts';
import { figureText as wordsOf } from '../../../analysis/report/titles.ts';

export interface FigureText {
  /** 'L*' of a colour's parts; ''. */
  readonly part: string;
  /** '−12': sign and digits before the decimal point. */
  readonly whole: string;
  /** '.3', or '' without decimals. */
  readonly fraction: string;
  /** '± 0.6'. */
  readonly spread: string;
}

const PARTS = ['L*', 'a*', 'b*'] as const;

/** One line for a number, three for a colour, none when it cannot be told. */
export function figureTexts({ value, u, unit }: Pick<Quantity, 'value' | 'u' | 'unit'>): readonly FigureText[] {
  if (value === null) return [];
  if (!isLab(value)) return [figureText('', value, isLab(u) ? null : u, unit)];
  return PARTS.map((part, i) => figureText(part, value[i], isLab(u) ? u[i] : null, unit));
}

function figureText(part: string, value: number, u: number | null, unit: Unit): FigureText {
  const [number, spread] = withUncertainty(value, u, unit).split(' ± ');
  const [whole, decimals] = number.split('.');
  return { part, whole, fraction: decimals === undefined ? '' : `.${decimals}`, spread: `± ${spread}` };
}

/** What a copy of the figure gives: '6.3 ± 1.3 ΔE00', 'L* 44.9 ± 1.3, a* 10.1 ± 5.2, b* −25.3 ± 6.4'. */
export function copiedFigure(finding: Pick<Quantity, 'value' | 'u' | 'unit'>): string {
  return wordsOf(finding) || 'cannot be told';
}

/** Characters that a column keeps free on each side of the decimal point and for the ±, so that nothing jumps. */
export interface FigureWidths {
  readonly whole: number;
  readonly fraction: number;
  readonly spread: number;
}

export function widthsOf(figures: readonly FigureText[]): FigureWidths {
  const most = (of: (text: FigureText) => string): number => Math.max(0, ...figures.map((text) => of(text).length));
  return { whole: most((t) => t.whole), fraction: most((t) => t.fraction), spread: most((t) => t.spread) };
}

/** Spaces as wide as a digit and as a point: they align figures without an element for each of their parts. */
const DIGIT = '\u2007';
const POINT = '\u2008';

/** A figure with the room that its column keeps. */
export interface AlignedFigure {
  readonly before: string;
  readonly digits: string;
  readonly after: string;
  /** With the gap before it, which is that of its smaller type. */
  readonly spread: string;
}

export function alignedFigure({ whole, fraction, spread }: FigureText, widths: FigureWidths): AlignedFigure {
  const room = (most: number, has: number): string => DIGIT.repeat(Math.max(0, most - has));
  const noPoint = fraction === '' && widths.fraction > 0;
  return {
    before: room(widths.whole, whole.length),
    digits: `${whole}${fraction}`,
    after: noPoint ? POINT + room(widths.fraction, 1) : room(widths.fraction, fraction.length),
    spread: ` ${spread}${room(widths.spread, spread.length)}`,
  };
}
