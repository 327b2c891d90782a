/** The calibration's report card: how well the scanner's colours are known, why, and what to do about it. */
import { useDeferredValue } from 'react';
import type { Work } from '../../electron/backend/api.ts';
import { goTo, useAddress } from '../address/useAddress.ts';
import { useCalibrationReport, useWork } from '../api/store.ts';
import { PrintCard } from '../card/PrintCard.tsx';
import { Button } from '../look/Button.tsx';
import { EmptyState } from '../look/EmptyState.tsx';
import { LayOnScanner } from '../look/LayOnScanner.tsx';
import { Notice } from '../look/Notice.tsx';
import { nowCalledAll } from '../scans/renamed.ts';
import { ReportCard } from './ReportCard.tsx';
import { scanWithTarget } from './scanWithTarget.ts';
import './calibration.css';

export default function CalibrationPage({ ink }: { readonly ink: number }) {
  const work = useWork(ink);
  const { query } = useAddress();
  if (work.state === 'failed') return <Fault words={work.problem.message} />;
  if (work.state === 'loading') return <p className="page-loading">Opening…</p>;
  const scan = nowCalledAll(ink, 'scan', query['scan'], work.value.scans) ?? scanWithTarget(work.value);
  const isThere = work.value.scans.some(({ id }) => id === scan);
  const toScans = (): void => goTo({ page: 'scans', ink, query: scan === null || !isThere ? {} : { scan } });
  if (scan === null) {
    return (
      <div className="card-nothing">
        <EmptyState
          sentence="No scan of this ink holds a calibration target: lay one on the scanner, scan it with the pages’ settings, and find it on the Scans page."
          drawing={<LayOnScanner />}
        >
          <Button kind="strong" onPress={toScans}>
            Go to the scans
          </Button>
          <PrintCard />
        </EmptyState>
      </div>
    );
  }
  return <ReportOf key={scan} work={work.value} scan={scan} onScans={toScans} />;
}

interface ReportOfProps {
  readonly work: Work;
  readonly scan: string;
  readonly onScans: () => void;
}

function ReportOf({ work, scan, onScans }: ReportOfProps) {
  // Drawn in parts between whatever else the window has to do: the patches may be hundreds.
  const report = useDeferredValue(useCalibrationReport(work.ink.id, scan));
  if (report.state === 'failed') {
    const isThere = work.scans.some(({ id }) => id === scan);
    const words = isThere ? `Open the scan “${scan}”` : 'Go to the scans';
    return <Fault words={report.problem.message} action={{ words, run: onScans }} />;
  }
  if (report.state === 'loading') return <p className="page-loading">Looking for the target and calibrating…</p>;
  return <ReportCard work={work} scan={scan} report={report.value} />;
}

function Fault({ words, action }: { readonly words: string; readonly action?: { words: string; run: () => void } }) {
  return (
    <div className="page-fault">
      <Notice {...(action && { action })}>{words}</Notice>
    </div>
  );
}
