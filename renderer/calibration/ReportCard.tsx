/** Table, scan and plots, reading: choosing a patch on one marks it on the others. */
import { useEffect, useMemo, useRef, useState } from 'react';
import type { CalibrationReport, Work } from '../../electron/backend/api.ts';
import { goTo, useAddress } from '../address/useAddress.ts';
import { InTurn } from '../look/InTurn.tsx';
import { onceLaidOut } from '../look/onceLaidOut.ts';
import { useKeys } from '../look/useKeys.ts';
import { CardPlots } from './CardPlots.tsx';
import { CardReading } from './CardReading.tsx';
import { PatchReading } from './PatchReading.tsx';
import { areNoted, type PatchSort, sortedPatches, steppedPatch, WORST_FIRST } from './patchOrder.ts';
import { PatchTable } from './PatchTable.tsx';
import { TargetPane } from './TargetPane.tsx';

export interface ReportCardProps {
  readonly work: Work;
  readonly scan: string;
  readonly report: CalibrationReport;
}

export function ReportCard({ work, scan, report }: ReportCardProps) {
  const ink = work.ink.id;
  const { query } = useAddress();
  const [sort, setSort] = useState<PatchSort>(WORST_FIRST);
  const order = useMemo(() => sortedPatches(report.patches, sort), [report.patches, sort]);
  const chosen = report.patches.find(({ id }) => id === query['patch']) ?? null;
  const chosenId = chosen?.id ?? null;
  const choose = (patch: string | null): void =>
    goTo(
      { page: 'calibration', ink, query: { scan, ...(patch !== null && { patch }) } },
      { replace: chosen !== null && patch !== null },
    );
  const step = (by: 1 | -1): void => choose(steppedPatch(order, chosenId, by));
  useKeys('Calibration', [
    { keys: 'n', does: 'choose the next patch of the table', run: () => step(1) },
    { keys: 'p', does: 'choose the patch before', run: () => step(-1) },
    { keys: 'Escape', does: 'choose no patch: the calibration as a whole', run: () => choose(null) },
    { keys: 'ArrowUp / ArrowDown', does: 'in the table: from patch to patch' },
    { keys: 'Enter', does: 'in the table: choose the patch' },
  ]);

  const table = useRef<HTMLElement>(null);
  useEffect(() => {
    if (chosenId === null) return;
    return onceLaidOut(() => {
      table.current?.querySelector(`[data-patch="${CSS.escape(chosenId)}"]`)?.scrollIntoView({ block: 'nearest' });
    });
  }, [chosenId, table]);

  const shown = work.scans.find(({ id }) => id === scan) ?? null;
  return (
    <div className="card-page">
      <section
        className="card-table"
        aria-label="Patches"
        ref={table}
        {...(areNoted(report.patches) && { 'data-noted': true })}
      >
        <PatchTable
          patches={report.patches}
          order={order}
          sort={sort}
          onSort={setSort}
          chosen={chosenId}
          onChoose={choose}
        />
      </section>
      <div className="card-middle">
        <TargetPane ink={ink} scan={shown} name={scan} report={report} chosen={chosen} onChoose={choose} />
        <InTurn turn={2}>
          <CardPlots ink={work.ink.name} report={report} />
        </InTurn>
      </div>
      <div className="card-reading">
        {chosen ? (
          <PatchReading patch={chosen} patches={report.patches} onWhole={() => choose(null)} />
        ) : (
          <InTurn turn={1}>
            <CardReading ink={ink} scan={scan} report={report} onChoose={choose} />
          </InTurn>
        )}
      </div>
    </div>
  );
}
