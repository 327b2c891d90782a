/** A finding's figures as a cell shows them: points under points, ± beside, units small. */
import { Fragment } from 'react';
import { whyMissing } from '../../../analysis/report/missing.ts';
import { unitMark } from '../../../analysis/report/titles.ts';
import type { Quantity } from '../../../analysis/quantity.ts';
import { alignedFigure, type FigureWidths, figureTexts } from '../arrange/figureText.ts';

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
  if (texts.length === 0) return <span className="cell-untold">cannot tell: {whyMissing(finding).because}</span>;
  return (
    <span className="cell-figures" {...(stale && { 'data-stale': true })}>
      {texts.map((text, line) => {
        const { before, digits, after, spread } = alignedFigure(text, widths);
        return (
          <Fragment key={text.part}>
            {line > 0 && '\n'}
            {text.part !== '' && <span className="cell-part">{text.part} </span>}
            {noted ? before : `${before}${digits}${after}`}
            {/* Under the digits, not under the room beside them. */}
            {noted && <span className="findings-noted">{digits}</span>}
            {noted && after}
            <span className="cell-spread">{unit === '' ? spread : `${spread} ${unit}`}</span>
          </Fragment>
        );
      })}
      {noted && <span className="visually-hidden">, with a note</span>}
      {stale && <span className="visually-hidden">, stale: measure again</span>}
    </span>
  );
}
