import { type KeyboardEvent, useRef, useState } from 'react';
import type { ReportPatch } from '../../electron/backend/api.ts';
import { Button } from '../look/Button.tsx';
import { copyRows } from '../look/copyRows.ts';
import { screenGamut, withinGamut } from '../look/gamut.ts';
import { cssLab } from '../look/Swatch.tsx';
import { useInTurn } from '../look/useInTurn.ts';
import { tableFields } from '../plots/PlotTable.tsx';
import {
  areNoted,
  doubtOfPatches,
  FLAG_NAMES,
  nextSort,
  offText,
  type PatchSort,
  patchTable,
  type SortColumn,
} from './patchOrder.ts';

export interface PatchTableProps {
  /** In the layout's order. */
  readonly patches: readonly ReportPatch[];
  /** As the table has them. */
  readonly order: readonly ReportPatch[];
  readonly sort: PatchSort;
  readonly onSort: (sort: PatchSort) => void;
  readonly chosen: string | null;
  readonly onChoose: (patch: string) => void;
}

/** A large screen shows some forty; twelve are laid out and painted in 3 ms. */
const ROWS_AT_ONCE = 12;

/** Every patch with its two colours and how far it is missed; one row in the tab order, arrows between rows, Enter chooses. */
export function PatchTable({ patches, order, sort, onSort, chosen, onChoose }: PatchTableProps) {
  const body = useRef<HTMLTableSectionElement>(null);
  const [at, setAt] = useState<string | null>(null);
  const stop = [at, chosen].find((id) => order.some((p) => p.id === id)) ?? order.at(0)?.id ?? null;
  const walk = (event: KeyboardEvent, from: number): void => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
    const to = { ArrowDown: from + 1, ArrowUp: from - 1, Home: 0, End: order.length - 1 }[event.key];
    if (to === undefined) return;
    // At the table's end too: an arrow here must not move the scan.
    event.preventDefault();
    const next = order[to];
    if (!next) return;
    setAt(next.id);
    body.current?.querySelector<HTMLElement>(`[data-patch="${CSS.escape(next.id)}"]`)?.focus();
  };
  // Down to the chosen one at once: it is to be brought into sight.
  const drawn = Math.max(useInTurn(order.length, ROWS_AT_ONCE), 1 + order.findIndex(({ id }) => id === chosen));
  const noted = areNoted(patches);
  return (
    <>
      <div className="card-table-head">
        <h2>Patches</h2>
        <Button kind="plain" onPress={() => copyRows('Patches', async () => tableFields(patchTable(order)))}>
          Copy the table
        </Button>
      </div>
      <p className="card-doubt">{doubtOfPatches(patches)}</p>
      <table>
        <caption className="visually-hidden">
          Patches: the colour that a fit without the patch tells, beside the known one
        </caption>
        <thead>
          <tr>
            <SortHead by="patch" sort={sort} onSort={onSort}>
              Patch
            </SortHead>
            <th scope="col">
              measured <span aria-hidden="true">|</span> known
            </th>
            <SortHead by="leftOut" sort={sort} onSort={onSort} unit="ΔE00">
              Left out
            </SortHead>
            <SortHead by="fitted" sort={sort} onSort={onSort} unit="ΔE00">
              Fitted
            </SortHead>
            {noted && (
              <SortHead by="notes" sort={sort} onSort={onSort}>
                Notes
              </SortHead>
            )}
          </tr>
        </thead>
        <tbody ref={body}>
          {order.slice(0, drawn).map((patch, row) => (
            <tr key={patch.id} {...(patch.id === chosen && { 'data-chosen': true })}>
              <th scope="row">
                <button
                  type="button"
                  data-patch={patch.id}
                  tabIndex={patch.id === stop ? 0 : -1}
                  aria-pressed={patch.id === chosen}
                  onKeyDown={(event) => walk(event, row)}
                  onClick={() => {
                    setAt(patch.id);
                    onChoose(patch.id);
                  }}
                >
                  {patch.id}
                </button>
              </th>
              <td>
                <PatchPair patch={patch} />
              </td>
              <td className="card-number">{offText(patch.dE00LeftOut, patch, 2)}</td>
              <td className="card-number">{offText(patch.dE00Fitted, patch, 2)}</td>
              {noted && <td className="card-notes">{patch.flags.map((flag) => FLAG_NAMES[flag]).join(', ')}</td>}
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

/** Both colours edge to edge, in one element: hundreds of rows are laid out. */
function PatchPair({ patch: { leftOut, reference } }: { readonly patch: ReportPatch }) {
  const gamut = screenGamut();
  const inexact = [
    ...(withinGamut(leftOut, gamut) ? [] : ['measured']),
    ...(withinGamut(reference, gamut) ? [] : ['known']),
  ];
  const words = inexact.length > 0 ? `${inexact.join(' and ')} cannot be shown exactly` : '';
  return (
    <span
      className="card-pair"
      style={{ backgroundColor: cssLab(reference), boxShadow: `inset 1.4rem 0 ${cssLab(leftOut)}` }}
      {...(words !== '' && { title: words, 'data-inexact': inexact.join(' ') })}
    >
      {words !== '' && <span className="visually-hidden">{words}</span>}
    </span>
  );
}

interface SortHeadProps {
  readonly by: SortColumn;
  readonly sort: PatchSort;
  readonly onSort: (sort: PatchSort) => void;
  readonly unit?: string;
  readonly children: string;
}

function SortHead({ by, sort, onSort, unit, children }: SortHeadProps) {
  const is = sort.by === by;
  return (
    <th scope="col" aria-sort={is ? (sort.down ? 'descending' : 'ascending') : 'none'}>
      <button type="button" className="card-sort" onClick={() => onSort(nextSort(sort, by))}>
        <span>
          {children}
          <span aria-hidden="true" className="card-sort-mark">
            {is ? (sort.down ? '↓' : '↑') : ''}
          </span>
        </span>
        {unit !== undefined && <small> {unit}</small>}
      </button>
    </th>
  );
}
