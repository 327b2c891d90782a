/** Teaching the card as a task: no step of measuring a sheet, so not every runner carries it out. */
import type { Taught, TeachRequest } from './teach.ts';

export interface TeachTask extends TeachRequest {
  readonly task: 'teach';
}

export interface TeachRunner {
  teach(task: TeachTask, signal?: AbortSignal): Promise<Taught>;
}
