/** A page's own thread as the browser's trace tells it: its tasks, and what they were made of. */

/** As the browser writes it; times in µs, `tdur` by the processor's clock. */
export interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly pid: number;
  readonly tid: number;
  readonly ts: number;
  readonly dur?: number;
  readonly tdur?: number;
  readonly args: { readonly name?: string };
}

/** Times by each clock, µs. */
export interface Task {
  readonly processorUs: number;
  readonly wallUs: number;
  /** What the processor did in it, without what that in turn began, µs by the trace's names; the longest first. */
  readonly parts: () => readonly (readonly [name: string, us: number])[];
}

export const CATEGORIES = [
  'toplevel',
  'disabled-by-default-devtools.timeline',
  'blink.user_timing',
  '__metadata',
  'devtools.timeline',
];

/** @param mark a performance mark of the page that is meant: the browser's frame has pages of its own */
export function tasksOf(events: readonly TraceEvent[], mark: string): readonly Task[] {
  const ours = new Set(events.filter(({ name }) => name === mark).map(({ pid }) => pid));
  const threads = new Set(
    events
      .filter(({ name, pid, args }) => name === 'thread_name' && args.name === 'CrRendererMain' && ours.has(pid))
      .map(threadOf),
  );
  const spans = events.filter((event) => event.ph === 'X' && threads.has(threadOf(event)));
  return spans
    .filter(({ name }) => name === 'RunTask')
    .map((task) => ({ processorUs: processorUs(task), wallUs: task.dur ?? 0, parts: () => partsOf(task, spans) }));
}

function threadOf({ pid, tid }: TraceEvent): string {
  return `${pid}/${tid}`;
}

/** A virtual machine's clocks drift: nothing takes more of the processor than time. */
function processorUs({ tdur = 0, dur = 0 }: TraceEvent): number {
  return Math.min(tdur, dur);
}

function partsOf(task: TraceEvent, spans: readonly TraceEvent[]): readonly (readonly [string, number])[] {
  const end = task.ts + (task.dur ?? 0);
  const within = spans
    .filter((event) => threadOf(event) === threadOf(task) && event.ts >= task.ts && event.ts + (event.dur ?? 0) <= end)
    .toSorted((a, b) => a.ts - b.ts || (b.dur ?? 0) - (a.dur ?? 0));
  const us = new Map<string, number>();
  const open: TraceEvent[] = [];
  for (const event of within) {
    while (open.length > 0 && endOf(open[open.length - 1]) <= event.ts) open.pop();
    us.set(event.name, (us.get(event.name) ?? 0) + processorUs(event));
    const outer = open.at(-1);
    if (outer) us.set(outer.name, (us.get(outer.name) ?? 0) - processorUs(event));
    open.push(event);
  }
  return [...us].toSorted(([, a], [, b]) => b - a);
}

function endOf({ ts, dur = 0 }: TraceEvent): number {
  return ts + dur;
}
