/** One cell: the colour, the figure, the word; what is behind it is chosen by a press. */
import { type KeyboardEvent, memo } from 'react';
import { adviceText } from '../../../analysis/report/flagAdvice.ts';
import type { Flag, Quantity } from '../../../analysis/quantity.ts';
import { figureText } from '../../../analysis/report/titles.ts';
import { wayOf, withoutWay } from '../../film/byWay.ts';
import { keptTogether } from '../../reading/keptTogether.ts';
import { Swatch } from '../../look/Swatch.tsx';
import { isLab, labOf } from '../arrange/bench.ts';
import type { FigureWidths } from '../arrange/figureText.ts';
import { ownNotes, type SharedNotes } from '../arrange/sharedNotes.ts';
import type { Cell, FindingCell } from '../arrange/table.ts';
import { FigureOf } from './FigureOf.tsx';

interface Props {
  readonly cell: Cell;
  /** Tab enters the table here. */
  readonly tabbable: boolean;
  readonly chosen: boolean;
  readonly widths: { readonly number: FigureWidths; readonly colour: FigureWidths };
  /** Small swatches, where a table is full. */
  readonly small: boolean;
  readonly withUnit: boolean;
  /** Flags in words under every figure. */
  readonly notes: boolean;
  /** Said once under the table. */
  readonly shared: SharedNotes;
  /** Absent: every figure is by the target's map, which goes without saying. */
  readonly told?: ToldLook | undefined;
  /** Keep both the same functions. */
  readonly onChoose: (key: string) => void;
  /** Arrows between cells. */
  readonly onKeyDown: (event: KeyboardEvent) => void;
}

export interface ToldLook {
  /** What the target's map says stands under each figure that is by the film fit. */
  readonly beside: boolean;
}

/** Keep `widths`, `shared` and `told` the same while the table is: then choosing a figure draws only the cells that it leaves and comes to. */
export const FindingsCell = memo(function FindingsCell({ cell, ...look }: Props) {
  const { tabbable, chosen } = look;
  if (cell.is === 'empty') {
    return (
      <td className="cell cell-empty">
        <span className="visually-hidden">nothing to measure</span>
      </td>
    );
  }
  if (cell.is === 'missing') return <td className="cell cell-missing">{cell.words}</td>;
  const { key } = cell.traced;
  const way = look.told ? wayOf(cell.traced.finding) : null;
  return (
    <td className="cell" {...(chosen && { 'data-chosen': true })} {...(way && { 'data-way': way })}>
      <button
        type="button"
        className="cell-button"
        data-finding={key}
        tabIndex={tabbable ? 0 : -1}
        aria-pressed={chosen}
        onClick={() => look.onChoose(key)}
        onKeyDown={look.onKeyDown}
        title={titleOf(cell)}
      >
        <CellInside cell={cell} look={look} />
      </button>
    </td>
  );
});

function CellInside({ cell, look }: { readonly cell: FindingCell; readonly look: Omit<Props, 'cell'> }) {
  const { finding, current } = cell.traced;
  const own = labOf(finding);
  const swatch = cell.swatch ?? own;
  const word = finding.value === null ? '' : (finding.verdict ?? '');
  const care = careFlags(finding, look.shared);
  const { letters, words } = ownNotes(look.notes ? finding.flags : [], look.shared);
  const figures = (
    <FigureOf
      finding={finding}
      widths={own === null ? look.widths.number : look.widths.colour}
      withUnit={look.withUnit}
      noted={care.length > 0}
      stale={!current}
    />
  );
  const beneath = [word, cell.remark, letters, cell.name, words].some((line) => line !== '');
  if (swatch === null && !beneath && wayOf(finding) === null) return figures;
  return (
    <>
      {swatch !== null && (
        <Swatch
          lab={swatch}
          size={look.small ? 1.25 : own === null ? 1.75 : 2.5}
          label={cell.name || word || 'colour'}
        />
      )}
      <span className="cell-words">
        {figures}
        {(word !== '' || cell.remark !== '' || letters !== '') && (
          <span className="cell-line">
            {word !== '' && <span className={own === null ? 'cell-verdict' : 'cell-name'}>{word}</span>}
            {cell.remark !== '' && <span className="cell-note">{cell.remark}</span>}
            {letters !== '' && (
              <span className="cell-flags">
                <span className="visually-hidden">notes </span>
                {letters}
              </span>
            )}
          </span>
        )}
        {cell.name !== '' && <span className="cell-name">{cell.name}</span>}
        {look.told && <WayWords finding={finding} beside={look.told.beside} />}
        {words !== '' && <span className="cell-flags">{words}</span>}
      </span>
    </>
  );
}

/** Which way it was told, for those who do not see the mark at its edge; and what the other way says, when asked for. */
function WayWords({ finding, beside }: { readonly finding: Quantity; readonly beside: boolean }) {
  const way = wayOf(finding);
  const { byMap } = finding;
  if (way === null) return null;
  const heard = (
    <span className="visually-hidden">{way === 'film' ? ', by the film fit' : ', by the target’s map'}</span>
  );
  if (!beside || byMap === undefined) return heard;
  return (
    <>
      {heard}
      <span className="cell-beside">
        {isLab(byMap.value) && <Swatch lab={byMap.value} size={1} label="by the map" />}
        <span>map {keptTogether(figureText({ ...byMap, unit: finding.unit })) || 'cannot tell'}</span>
      </span>
    </>
  );
}

/** Flags that ask for care with this figure; one that says nothing needs doing, why it was the map, or what holds of all makes no mark. */
function careFlags({ flags }: Quantity, { all }: SharedNotes): readonly Flag[] {
  return withoutWay(flags).filter((flag) => flag !== 'crossings-left-out' && !all.includes(flag));
}

function titleOf({ traced: { finding, current } }: FindingCell): string | undefined {
  const lines = finding.flags.map(adviceText);
  if (!current) lines.push('A region, a scan or a calibration behind it has changed since: measure again.');
  return lines.length === 0 ? undefined : lines.join('\n');
}
