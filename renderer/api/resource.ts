/** Values that the backend holds, as this window last saw them. Old values stay in sight while new ones are fetched. */
import type { Problem } from '../../electron/backend/api.ts';
import { problemOf } from './client.ts';
import { ownTask } from './ownTask.ts';

export type Loaded<T> =
  | { readonly state: 'loading' }
  | { readonly state: 'failed'; readonly problem: Problem }
  | { readonly state: 'ready'; readonly value: T };

const LOADING = { state: 'loading' } as const;

interface Entry<T> {
  shown: Loaded<T>;
  stale: boolean;
  fetching: boolean;
  readonly listeners: Set<() => void>;
}

export class Resource<K extends string | number, T> {
  private readonly entries = new Map<K, Entry<T>>();
  private readonly fetchValue: (key: K) => Promise<T>;
  private readonly isOlder: (next: T, held: T) => boolean;

  /** @param isOlder Whether an answer lags behind what is held already (answers may overtake each other). */
  constructor(fetchValue: (key: K) => Promise<T>, isOlder: (next: T, held: T) => boolean = () => false) {
    this.fetchValue = fetchValue;
    this.isOlder = isOlder;
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
    const entry: Entry<T> = { shown: LOADING, stale: true, fetching: false, listeners: new Set() };
    this.entries.set(key, entry);
    return entry;
  }

  private show(entry: Entry<T>, value: T): void {
    if (entry.shown.state === 'ready' && this.isOlder(value, entry.shown.value)) return;
    entry.shown = { state: 'ready', value };
    tell(entry);
  }

  private revalidate(key: K, entry: Entry<T>): void {
    if (entry.stale && !entry.fetching) void this.fetchUntilFresh(key, entry);
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
      } while (entry.stale && entry.listeners.size > 0);
    } catch (error) {
      // The next look, event or reconnection asks again.
      entry.stale = true;
      const problem = problemOf(error);
      // A lost connection says nothing about the value: the old one stays in sight.
      if (entry.shown.state !== 'ready' || problem.code !== 'no-connection') {
        entry.shown = { state: 'failed', problem };
        tell(entry);
      }
    } finally {
      entry.fetching = false;
    }
  }
}

function tell(entry: { readonly listeners: ReadonlySet<() => void> }): void {
  for (const listener of entry.listeners) listener();
}
