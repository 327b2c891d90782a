import type { ReactNode } from 'react';
import type { FindingsReport, Work } from '../../electron/backend/api.ts';
import { MeasuredInk } from './MeasuredInk.tsx';
import { NeverMeasured } from './NeverMeasured.tsx';
import { standingOf } from './standing.ts';
import { startMeasuring } from './startMeasuring.ts';

interface Props {
  readonly ink: number;
  readonly children: (work: Work, report: FindingsReport) => ReactNode;
}

/** An ink that was measured at least once; before that, how to come to findings. */
export function OnceMeasured({ ink, children }: Props) {
  return (
    <MeasuredInk ink={ink}>
      {(work, report) => {
        const standing = standingOf(work, report);
        return standing.is === 'never' || standing.is === 'no-regions' ? (
          <NeverMeasured ink={ink} hasRegions={standing.is === 'never'} onMeasure={() => void startMeasuring(ink)} />
        ) : (
          children(work, report)
        );
      }}
    </MeasuredInk>
  );
}
