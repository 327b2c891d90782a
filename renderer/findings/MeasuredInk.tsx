import { type ReactNode, useDeferredValue } from 'react';
import type { FindingsReport, Work } from '../../electron/backend/api.ts';
import { useFindings, useWork } from '../api/store.ts';
import { Notice } from '../look/Notice.tsx';

interface Props {
  readonly ink: number;
  readonly children: (work: Work, report: FindingsReport) => ReactNode;
}

/** An ink's work with its findings once both are there; until then, or if they cannot be had, what a person is told. */
export function MeasuredInk({ ink, children }: Props) {
  // Drawn in parts between whatever else the window has to do: the tables are many, and a review has some fifty cells.
  const work = useDeferredValue(useWork(ink));
  const report = useDeferredValue(useFindings(ink));
  const failed = work.state === 'failed' ? work : report.state === 'failed' ? report : null;
  if (failed) {
    return (
      <div className="page-fault">
        <Notice>{failed.problem.message}</Notice>
      </div>
    );
  }
  if (work.state !== 'ready' || report.state !== 'ready') return <p className="page-loading">Opening…</p>;
  return children(work.value, report.value);
}
