/** All that the serving process and the process that measures say to each other. */
import type { StripTask } from './stripTasks.ts';
import type { Task } from './tasks.ts';
import type { TeachTask } from './teachTask.ts';

export type JobsOrder =
  { readonly id: number; readonly task: Task | TeachTask | StripTask } | { readonly id: number; readonly stop: true };

export type JobsAnswer =
  { readonly id: number; readonly result: unknown } | { readonly id: number; readonly fault: JobsFault };

/** An error as data: its class does not outlive the way. */
export interface JobsFault {
  readonly message: string;
  /** Of a JobError; null: another error. */
  readonly code: string | null;
}

/** A process on the other side, however a shell starts one. */
export interface JobsProcess {
  send(order: JobsOrder): void;
  onAnswer(listener: (answer: JobsAnswer) => void): void;
  /** Ended, asked to or not. */
  onExit(listener: () => void): void;
  kill(): void;
}

/** @param threads Its worker threads. */
export type StartJobsProcess = (threads: number) => JobsProcess;

/** What comes over a channel is nobody's but ours; its shape is still looked at. */
export function isOrder(message: unknown): message is JobsOrder {
  return hasId(message) && ('task' in message || 'stop' in message);
}

export function isAnswer(message: unknown): message is JobsAnswer {
  return hasId(message) && ('result' in message || 'fault' in message);
}

function hasId(message: unknown): message is { readonly id: number } {
  return typeof message === 'object' && message !== null && 'id' in message && typeof message.id === 'number';
}
