/** One table of findings: headings with scope, one cell in the tab order, arrows between cells, Enter chooses. */
import { type KeyboardEvent, useCallback, useId, useMemo, useRef, useState } from 'react';
import { Swatch } from '../../look/Swatch.tsx';
import { figureTexts, type FigureWidths, widthsOf } from '../arrange/figureText.ts';
import type { SharedNotes } from '../arrange/sharedNotes.ts';
import { type Cell, type FindingsTable, type Heading, type Row, rowsOf } from '../arrange/table.ts';
import { FindingsCell, type ToldLook } from './FindingsCell.tsx';
import { firstFilled, type GridPlace, stepIn } from './gridSteps.ts';

interface Props {
  readonly table: FindingsTable;
  /** False where a heading above says it already. */
  readonly titled: boolean;
  readonly notes: boolean;
  readonly shared: SharedNotes;
  readonly chosenKey: string | null;
  readonly told?: ToldLook;
  /** Groups of rows that are drawn by now; absent: all. Columns keep the room that all of them need. */
  readonly groups?: number;
  readonly onChoose: (key: string) => void;
}

export function FindingsGrid({ table, titled, notes, shared, chosenKey, told, groups, onChoose }: Props) {
  const rows = useMemo(() => rowsOf(table), [table]);
  const filled = useMemo(() => rows.map(({ cells }) => cells.map(({ is }) => is === 'finding')), [rows]);
  const [at, setAt] = useState<GridPlace | null>(null);
  const body = useRef<HTMLTableElement>(null);
  const headId = useId();
  const stop = tabStop(rows, filled, chosenKey, at);
  // The same functions and widths while the table is: cells that nothing new is told of are not drawn again.
  const walk = useCallback(
    (event: KeyboardEvent): void => {
      if (event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
      const from = placeOf(rows, event.currentTarget);
      const next = from && stepIn(filled, from, event.key);
      // An arrow at a table's rim must not move the scan either.
      if (from && /^(Arrow|Home|End)/.test(event.key)) event.preventDefault();
      if (!next) return;
      setAt(next);
      buttonAt(body.current, rows, next)?.focus();
    },
    [rows, filled],
  );
  const choose = useCallback(
    (key: string): void => {
      setAt(findPlace(rows, key));
      onChoose(key);
    },
    [rows, onChoose],
  );
  const grouped = table.groups.some(({ heading }) => heading !== null);
  const byColumn = useMemo(
    () =>
      table.columns.map((_, column) => ({
        number: columnWidths(rows, column, 1),
        colour: columnWidths(rows, column, 3),
      })),
    [table, rows],
  );
  return (
    <div className="findings-table" data-table={table.id}>
      <table ref={body} {...(grouped && { 'data-grouped': true })}>
        <caption className={titled ? 'findings-caption' : 'visually-hidden'}>{table.title}</caption>
        <thead>
          <tr>
            <th scope="col" className="head-corner">
              {table.corner}
            </th>
            {table.columns.map((column) => (
              <th scope="col" key={column.key}>
                <HeadingWords heading={column} />
              </th>
            ))}
          </tr>
        </thead>
        {table.groups.slice(0, groups).map((group, g) => (
          <tbody key={group.heading?.key ?? 'all'}>
            {group.heading !== null && (
              <tr className="head-group">
                <th scope="rowgroup" colSpan={table.columns.length + 1} id={`${headId}${g}`}>
                  <HeadingWords heading={group.heading} />
                </th>
              </tr>
            )}
            {group.rows.map((row) => {
              const place = rows.indexOf(row);
              return (
                <tr key={row.heading.key}>
                  <th scope="row">
                    <HeadingWords heading={row.heading} />
                  </th>
                  {row.cells.map((cell, column) => (
                    <FindingsCell
                      key={table.columns[column].key}
                      cell={cell}
                      tabbable={stop?.row === place && stop.column === column}
                      chosen={isOf(cell, chosenKey)}
                      widths={byColumn[column]}
                      small={grouped}
                      withUnit={table.columns[column].unit === undefined && row.heading.unit === undefined}
                      notes={notes}
                      shared={shared}
                      told={told}
                      onKeyDown={walk}
                      onChoose={choose}
                    />
                  ))}
                </tr>
              );
            })}
          </tbody>
        ))}
      </table>
    </div>
  );
}

function HeadingWords({ heading: { words, detail, unit, swatch } }: { readonly heading: Heading }) {
  return (
    <span className="head-words">
      {swatch !== undefined && <Swatch lab={swatch} size={0.9} label="" />}
      {words.startsWith('R_F') ? <RF rest={words.slice(3)} /> : words}
      {detail !== undefined && <span className="head-detail"> {detail}</span>}
      {unit !== undefined && <span className="head-detail"> {unit}</span>}
    </span>
  );
}

function RF({ rest }: { readonly rest: string }) {
  return (
    <>
      R<sub>F</sub>
      {rest}
    </>
  );
}

/** The chosen cell, else the one that was last walked to, else the first: Tab enters the table there. */
function tabStop(
  rows: readonly Row[],
  filled: readonly (readonly boolean[])[],
  chosenKey: string | null,
  at: GridPlace | null,
): GridPlace | null {
  if (at !== null && filled[at.row]?.[at.column]) return at;
  return findPlace(rows, chosenKey) ?? firstFilled(filled);
}

function findPlace(rows: readonly Row[], key: string | null): GridPlace | null {
  const row = rows.findIndex(({ cells }) => cells.some((cell) => isOf(cell, key)));
  return row < 0 ? null : { row, column: rows[row].cells.findIndex((cell) => isOf(cell, key)) };
}

function isOf(cell: Cell, key: string | null): boolean {
  return cell.is === 'finding' && cell.traced.key === key;
}

function placeOf(rows: readonly Row[], target: EventTarget): GridPlace | null {
  const key = target instanceof HTMLElement ? target.dataset['finding'] : undefined;
  return key === undefined ? null : findPlace(rows, key);
}

function buttonAt(table: HTMLTableElement | null, rows: readonly Row[], { row, column }: GridPlace) {
  const cell = rows[row].cells[column];
  if (cell.is !== 'finding') return null;
  return table?.querySelector<HTMLElement>(`[data-finding="${CSS.escape(cell.traced.key)}"]`) ?? null;
}

/** Room for the widest figure of the column: numbers apart from colours, which have three lines. */
function columnWidths(rows: readonly Row[], column: number, lines: 1 | 3): FigureWidths {
  return widthsOf(
    rows.flatMap(({ cells }) => {
      const cell = cells[column];
      const texts = cell.is === 'finding' ? figureTexts(cell.traced.finding) : [];
      return texts.length === lines ? texts : [];
    }),
  );
}
