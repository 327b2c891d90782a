/** Over the tables' foot: whether the findings hold, what is wrong, and what to do about it. */
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
  const problems = problemsWithoutCell(work, report);
  // One may lie over the tables; ten would leave nothing of them to be seen.
  const many = problems.length > 1;
  return (
    <>
      {many && (
        <ul className="findings-problems" aria-label="What could not be measured">
          {problems.map(({ region, message }) => (
            <li key={region}>
              “{region}”: {message}
            </li>
          ))}
        </ul>
      )}
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
            differences are of use, colours are rough. Scan a target with the same settings and set it on the Scans
            page.
          </Notice>
        )}
        {many && (
          <Notice kind="word">{problems.length} regions could not be measured; why is said under the tables.</Notice>
        )}
        {!many &&
          problems.map(({ region, message }) => (
            <Notice key={region} kind="word">
              “{region}”: {message}
            </Notice>
          ))}
      </div>
    </>
  );
}
