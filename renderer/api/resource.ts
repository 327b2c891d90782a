/** Values that the backend holds, as this window last saw them. Old values stay in sight while new ones are fetched. */
import type { Problem } from '../../electron/backend/api.ts';
import { ApiProblem, problemOf } from './client.ts';
import { ownTask } from './ownTask.ts';

export type Loaded<T> =
  | { readonly state: 'loading' }
  | { readonly state: 'failed'; readonly problem: Problem }
  | { readonly state: 'ready'; readonly value: T };

const LOADING = { state: 'loading' } as const;

/** Between one try and the next, ms; after them somebody else has to ask: a look, an event, the connection that is there again. */
const WAITS_MS = [1000, 2000, 4000, 8000];

interface Entry<T> {
  shown: Loaded<T>;
  stale: boolean;
  fetching: boolean;
  /** In a row. */
  failures: number;
  readonly listeners: Set<() => void>;
}

export class Resource<K extends string | number, T> {
  private readonly entries = new Map<K, Entry<T>>();
  private readonly fetchValue: (key: K) => Promise<T>;
  private readonly isOlder: (next: T, held: T) => boolean;
  private readonly onChange: (held: T, next: T) => void;

  /**
   * @param isOlder Whether an answer lags behind what is held already (answers may overtake each other).
   * @param onChange Told of what takes another's place, before whoever looks at it.
   */
  constructor(
    fetchValue: (key: K) => Promise<T>,
    isOlder: (next: T, held: T) => boolean = () => false,
    onChange: (held: T, next: T) => void = () => undefined,
  ) {
    this.fetchValue = fetchValue;
    this.isOlder = isOlder;
    this.onChange = onChange;
  }

  /** The same object until it changes. */
  read(key: K): Loaded<T> {
    return this.entries.get(key)?.shown ?? LOADING;
  }

  value(key: K): T | null {
    const shown = this.read(key);
    return shown.state === 'ready' ? shown.value : null;
  }

  /** Fetches when nothing is held or what is held is stale. */
  subscribe(key: K, listener: () => void): () => void {
    const entry = this.entry(key);
    entry.listeners.add(listener);
    this.revalidate(key, entry);
    return () => {
      entry.listeners.delete(listener);
    };
  }

  /** Fetches before anyone looks, when nothing is held. */
  fetchAhead(key: K): void {
    this.revalidate(key, this.entry(key));
  }

  /** Marks what is held as old; fetches it anew at once when someone looks at it. */
  invalidate(key: K): void {
    const entry = this.entries.get(key);
    if (!entry) return;
    entry.stale = true;
    if (entry.listeners.size > 0) this.revalidate(key, entry);
  }

  invalidateWhere(matches: (key: K) => boolean): void {
    for (const key of this.entries.keys()) if (matches(key)) this.invalidate(key);
  }

  /** Takes a value that came another way (the answer to an edit); an older one than held is passed over. */
  accept(key: K, value: T): void {
    const entry = this.entry(key);
    if (!entry.fetching) entry.stale = false;
    this.show(entry, value);
  }

  /** Changes what is held, when something is. */
  update(key: K, change: (value: T) => T): void {
    const entry = this.entries.get(key);
    if (entry?.shown.state !== 'ready') return;
    const value = change(entry.shown.value);
    if (value === entry.shown.value) return;
    entry.shown = { state: 'ready', value };
    tell(entry);
  }

  private entry(key: K): Entry<T> {
    const held = this.entries.get(key);
    if (held) return held;
    const entry: Entry<T> = { shown: LOADING, stale: true, fetching: false, failures: 0, listeners: new Set() };
    this.entries.set(key, entry);
    return entry;
  }

  private show(entry: Entry<T>, value: T): void {
    const held = entry.shown.state === 'ready' ? entry.shown : null;
    if (held && this.isOlder(value, held.value)) return;
    entry.shown = { state: 'ready', value };
    if (held) this.onChange(held.value, value);
    tell(entry);
  }

  private revalidate(key: K, entry: Entry<T>): void {
    if (entry.stale && !entry.fetching) void this.fetchUntilFresh(key, entry);
  }

  private lookAgain(key: K, entry: Entry<T>): void {
    if (entry.listeners.size > 0) this.revalidate(key, entry);
  }

  private async fetchUntilFresh(key: K, entry: Entry<T>): Promise<void> {
    entry.fetching = true;
    try {
      // Marked as old while it was on its way: once more.
      do {
        // A page may ask for a score of values while it is drawn.
        await ownTask();
        entry.stale = false;
        this.show(entry, await this.fetchValue(key));
        entry.failures = 0;
      } while (entry.stale && entry.listeners.size > 0);
    } catch (error) {
      entry.stale = true;
      const problem = problemOf(error);
      const again = saysNothing(error) ? WAITS_MS[entry.failures++] : undefined;
      // The old value stays in sight while the new one may still come, and when nothing was said of it.
      const isKept = entry.shown.state === 'ready' && (again !== undefined || problem.code === 'no-connection');
      if (!isKept) {
        entry.shown = { state: 'failed', problem };
        tell(entry);
      }
      if (again !== undefined) setTimeout(() => this.lookAgain(key, entry), again);
    } finally {
      entry.fetching = false;
    }
  }
}

/** No answer, or one about the program rather than about the value: another try may tell it. */
export function saysNothing(error: unknown): boolean {
  return error instanceof ApiProblem && (error.code === 'no-connection' || error.status >= 500);
}

function tell(entry: { readonly listeners: ReadonlySet<() => void> }): void {
  for (const listener of entry.listeners) listener();
}
