/** A finding's figures as a cell shows them: points under points, ± beside, units small. */
import { whyMissing } from '../../../analysis/report/missing.ts';
import { unitMark } from '../../../analysis/report/titles.ts';
import type { Quantity } from '../../../analysis/quantity.ts';
import { type FigureWidths, figureTexts } from '../arrange/figureText.ts';

interface Props {
  readonly finding: Quantity;
  readonly widths: FigureWidths;
  /** False where the heading says it. */
  readonly withUnit: boolean;
  /** A flag asks for care. */
  readonly noted: boolean;
  /** Something behind it has changed since. Told by form alone, so that no cell changes its size. */
  readonly stale: boolean;
}

export function FigureOf({ finding, widths, withUnit, noted, stale }: Props) {
  const texts = figureTexts(finding);
  const unit = withUnit ? unitMark(finding.unit) : '';
  const room = roomFor(widths);
  if (texts.length === 0) return <span className="cell-untold">cannot tell: {whyMissing(finding).because}</span>;
  return (
    <span className="cell-figures" {...(stale && { 'data-stale': true })}>
      {texts.map(({ part, whole, fraction, spread }) => (
        <span className="cell-figure" key={part}>
          {part !== '' && <span className="cell-part">{part} </span>}
          <span className="cell-whole" style={room.whole}>
            <Noted noted={noted}>{whole}</Noted>
          </span>
          <span className="cell-fraction" style={room.fraction}>
            <Noted noted={noted}>{fraction}</Noted>
          </span>
          <span className="cell-spread" style={room.spread}>
            {' '}
            {spread}
          </span>
          {unit !== '' && <span className="cell-unit"> {unit}</span>}
        </span>
      ))}
      {noted && <span className="visually-hidden">, with a note</span>}
      {stale && <span className="visually-hidden">, stale: measure again</span>}
    </span>
  );
}

/** Under the digits, not under the room beside them. */
function Noted({ noted, children }: { readonly noted: boolean; readonly children: string }) {
  return noted ? <span className="findings-noted">{children}</span> : children;
}

/** Digits are one ch wide each; a point is narrower. */
function roomFor({ whole, fraction, spread }: FigureWidths) {
  const ch = (characters: number): { readonly minWidth: string } => ({ minWidth: `${Math.max(0, characters)}ch` });
  return { whole: ch(whole), fraction: ch(fraction - 0.45), spread: ch(spread - 0.45) };
}
