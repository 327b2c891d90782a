import type { LabValue, Unit } from '../../analysis/quantity.ts';
import { announce } from './announce.ts';
import { copyText, figureText } from './figureText.ts';

export interface FigureProps {
  readonly value: number | LabValue | null;
  /** Standard uncertainty (k = 1); shown as ± 2u. */
  readonly u: number | LabValue | null;
  readonly unit: Unit;
  readonly large?: boolean;
  /** As `figureText` takes it. */
  readonly decimals?: number;
}

/** A number with its ± and unit; pressing it copies all three. */
export function Figure({ value, u, unit, large = false, decimals }: FigureProps) {
  const text = figureText(value, u, unit, decimals);
  if (value === null) return <span className="figure-u">{text.value}</span>;
  const whole = copyText(text);
  return (
    <button
      type="button"
      className="figure"
      aria-label={`${whole}, copy`}
      onClick={(event) => {
        event.stopPropagation();
        copy(whole);
      }}
      onKeyDown={(event) => {
        if (event.key === 'Enter' || event.key === ' ') event.stopPropagation();
      }}
      {...(large && { 'data-large': true })}
    >
      {/* The spaces are for those who hear or select it; the eye gets its gaps from the layout. */}
      <span className="figure-value">{text.value}</span> <span className="figure-u">{text.u}</span>{' '}
      {text.unit !== '' && <span className="figure-unit">{text.unit}</span>}
    </button>
  );
}

/** Puts text on the clipboard and says so: a figure in full, of a table how long it is. */
export function copy(text: string): void {
  const lines = text.trimEnd().split('\n').length;
  navigator.clipboard.writeText(text).then(
    () => announce(lines > 1 ? `Copied a table of ${lines} lines.` : `Copied: ${text}`),
    () => announce('The clipboard is not open to this window. Select the text and copy it from there.'),
  );
}
