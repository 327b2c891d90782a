/** Above the tables: whether the findings hold, what is wrong, and what to do about it. */
import type { FindingsReport, Work } from '../../electron/backend/api.ts';
import { Notice } from '../look/Notice.tsx';
import { problemsWithoutCell, staleWords, standingOf } from './standing.ts';

interface Props {
  readonly work: Work;
  readonly report: FindingsReport;
  readonly onMeasure: () => void;
}

export function StandingWords({ work, report, onMeasure }: Props) {
  const standing = standingOf(work, report);
  const uncalibrated = report.findings.some(({ finding }) => finding.flags.includes('uncalibrated'));
  const { job } = work;
  return (
    <div className="findings-standing">
      {standing.is === 'stale' && (
        <Notice kind="word" action={{ words: 'Measure', run: onMeasure }}>
          {staleWords(standing)}
        </Notice>
      )}
      {job?.state === 'failed' && (
        <Notice action={{ words: 'Measure again', run: onMeasure }}>{job.problem ?? 'Measuring stopped.'}</Notice>
      )}
      {uncalibrated && (
        <Notice kind="word">
          No target serves some of these scans, so their values were read through their profiles, or as sRGB:
          differences are of use, colours are rough. Scan a target with the same settings and set it on the Scans page.
        </Notice>
      )}
      {problemsWithoutCell(work, report).map(({ region, message }) => (
        <Notice key={region} kind="word">
          “{region}”: {message}
        </Notice>
      ))}
    </div>
  );
}
