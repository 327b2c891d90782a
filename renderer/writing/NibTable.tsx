/** Papers down, nibs across, a sample in each cell: one cell in the tab order, arrows between cells. */
import {
  type KeyboardEvent,
  memo,
  type ReactNode,
  startTransition,
  useCallback,
  useDeferredValue,
  useEffect,
  useRef,
  useState,
} from 'react';
import type { Names } from '../../analysis/report/names.ts';
import type { Work } from '../../electron/backend/api.ts';
import { firstFilled, type GridPlace, stepIn } from '../findings/tables/gridSteps.ts';
import { isFocusLost } from '../look/focusLost.ts';
import { afterFrames } from '../look/afterFrames.ts';
import { onceLaidOut } from '../look/onceLaidOut.ts';
import type { NibColumn, NibGrid } from './nibGrid.ts';
import { NibSampleCell } from './NibSampleCell.tsx';
import { pictureInWindow } from './thumbnailPicture.ts';
import { usePictureSize } from './usePictureSize.ts';

/** As many as a screen shows. */
const FIRST_ROWS = 3;

declare module 'react' {
  interface CSSProperties {
    /** Width of all pictures, for writing.css. */
    '--picture'?: string;
  }
}

interface Props {
  readonly work: Work;
  readonly grid: NibGrid;
  readonly names: Names;
  readonly values: boolean;
  readonly told: boolean;
  readonly mmPerPx: number;
  /** The cell that the address names; null: none. */
  readonly cell: string | null;
  readonly onCell: (key: string) => void;
}

export const NibTable = memo(function NibTable({ work, grid, names, values, told, mmPerPx, cell, onCell }: Props) {
  const table = useRef<HTMLTableElement>(null);
  const { nibs, papers } = grid;
  const filled = papers.map(({ cells }) => cells.map(({ samples }) => samples.length > 0));
  const named = placeOf(grid, cell);
  const [at, setAt] = useState<GridPlace | null>(null);
  const stop = at !== null && filled[at.row]?.[at.column] ? at : (named ?? firstFilled(filled));
  const picture = usePictureSize(table, nibs.length);
  // What is in sight first; the rest between whatever else the window has to do.
  const rows = useDeferredValue(papers.length, Math.min(papers.length, FIRST_ROWS));

  useBackAt(table, named === null ? null : cell, rows === papers.length);
  const latest = useRef({ filled, onCell, grid });
  useEffect(() => {
    latest.current = { filled, onCell, grid };
  });
  const walk = useCallback(
    (event: KeyboardEvent, from: GridPlace): void => {
      if (event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
      const next = stepIn(latest.current.filled, from, event.key);
      if (/^(Arrow|Home|End)/.test(event.key)) event.preventDefault();
      if (!next) return;
      setAt(next);
      const to = latest.current.grid.papers[next.row].cells[next.column].key;
      table.current?.querySelector<HTMLElement>(`[data-cell="${CSS.escape(to)}"] a`)?.focus();
    },
    [setAt],
  );
  const reached = useCallback(
    (place: GridPlace): void => {
      setAt(place);
      const { grid: now, onCell: tell } = latest.current;
      tell(now.papers[place.row].cells[place.column].key);
    },
    [setAt],
  );

  return (
    <table
      ref={table}
      className="nib-grid"
      style={{ '--picture': picture ? `${picture.width}px` : pictureInWindow(nibs.length) }}
    >
      <caption className="visually-hidden">What each nib wrote on each paper</caption>
      <thead>
        <tr>
          <th scope="col" className="nib-corner">
            paper
          </th>
          {nibs.map((nib) => (
            <th scope="col" key={nib.key}>
              <NibHeading nib={nib} />
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {papers.slice(0, rows).map(({ paper, cells }, row) => (
          <NibRow key={paper} paper={paper} row={row} values={values}>
            {(withValues) =>
              cells.map((one, column) => (
                <NibSampleCell
                  key={one.key}
                  work={work}
                  names={names}
                  cell={one}
                  row={row}
                  column={column}
                  values={withValues}
                  told={told}
                  mmPerPx={mmPerPx}
                  picture={picture}
                  tabbable={stop?.row === row && stop.column === column}
                  onReached={reached}
                  onKeyDown={walk}
                />
              ))
            }
          </NibRow>
        ))}
      </tbody>
    </table>
  );
});

interface RowProps {
  readonly paper: string;
  readonly row: number;
  readonly values: boolean;
  readonly children: (values: boolean) => ReactNode;
}

/** All values come, and go, one row a frame. */
function NibRow({ paper, row, values, children }: RowProps) {
  const [shown, setShown] = useState(values);
  useEffect(() => {
    if (shown === values) return;
    return afterFrames(row + 1, () => {
      startTransition(() => setShown(values));
    });
  }, [shown, values, row]);
  return (
    <tr>
      <th scope="row">{paper}</th>
      {children(shown)}
    </tr>
  );
}

function NibHeading({ nib: { nib, widthMm } }: { readonly nib: NibColumn }) {
  if (nib === null) return <span className="nib-unnamed">nib not named</span>;
  return (
    <>
      {nib} <small>{widthMm === null ? 'width not given' : `${widthMm} mm`}</small>
    </>
  );
}

function placeOf({ papers }: NibGrid, key: string | null): GridPlace | null {
  if (key === null) return null;
  for (const [row, { cells }] of papers.entries()) {
    const column = cells.findIndex((one) => one.key === key && one.samples.length > 0);
    if (column >= 0) return { row, column };
  }
  return null;
}

/** Whoever comes back from a scan, or by an address, finds the cell in sight, and the keys start there. Once. */
function useBackAt(table: { readonly current: HTMLTableElement | null }, key: string | null, whole: boolean): void {
  const [first] = useState(key);
  useEffect(() => {
    if (first === null || !whole) return;
    return onceLaidOut(() => {
      const link = table.current?.querySelector<HTMLElement>(`[data-cell="${CSS.escape(first)}"] a`);
      link?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
      if (isFocusLost()) link?.focus({ preventScroll: true });
    });
  }, [table, first, whole]);
}
