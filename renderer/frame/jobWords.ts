/** What is worth saying aloud of a measurement's progress. */
import type { Job } from '../../electron/backend/api.ts';

/** @returns null: nothing new. Said at every quarter, and at the end. */
export function jobWords(before: Job | null, now: Job | null): string | null {
  if (now === null || before === now) return null;
  const same = before !== null && before.id === now.id;
  if (now.state === 'running') {
    if (!same || now.total === 0 || quarter(before) === quarter(now)) return null;
    return `Measuring: ${now.done} of ${now.total}.`;
  }
  // A job that had ended before anybody looked is old news.
  if (!same || before.state !== 'running') return null;
  if (now.state === 'cancelled') return 'Measuring was cancelled; what was measured until then is kept.';
  if (now.state === 'failed') return `Measuring stopped: ${now.problem ?? 'no reason was given.'}`;
  if (now.measured === 0) return 'Nothing had to be measured anew.';
  return `Measured. ${now.measured} ${now.measured === 1 ? 'step' : 'steps'} anew, ${now.kept} still true.`;
}

function quarter({ done, total }: Job): number {
  return total === 0 ? 0 : Math.floor((4 * done) / total);
}
