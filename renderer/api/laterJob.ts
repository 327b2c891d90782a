import type { Job } from '../../electron/backend/api.ts';

/** Events and answers may overtake each other: a job that has ended does not run again. */
export function laterJob(held: Job | null, next: Job): Job {
  if (held === null || held.id !== next.id) return next;
  if (held.state !== 'running' && next.state === 'running') return held;
  return next.state === 'running' && next.done < held.done ? held : next;
}
