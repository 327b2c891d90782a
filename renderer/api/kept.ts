/** What the window keeps outside its pages, by a key (an ink's number, ink and scan): it outlives a page, and whoever draws it is told of changes. */
import { useSyncExternalStore } from 'react';

export class Kept<K extends string | number, T> {
  private readonly values = new Map<K, T>();
  private readonly listeners = new Set<() => void>();
  private readonly nothing: T;

  /** @param nothing stands where nothing was put; always the same, so that it is no change */
  constructor(nothing: T) {
    this.nothing = nothing;
  }

  get(key: K): T {
    return this.values.get(key) ?? this.nothing;
  }

  put(key: K, value: T): void {
    if (Object.is(this.get(key), value)) return;
    this.values.set(key, value);
    this.tell();
  }

  drop(key: K): void {
    this.put(key, this.nothing);
  }

  dropAll(): void {
    this.values.clear();
    this.tell();
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => {
      this.listeners.delete(listener);
    };
  };

  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}

export function useKept<K extends string | number, T>(kept: Kept<K, T>, key: K): T {
  return useSyncExternalStore(kept.subscribe, () => kept.get(key));
}

/** One plain value of it: a part of the page that needs no more is not drawn anew when the rest changes. */
export function useKeptFact<K extends string | number, T, F extends string | number | boolean | null>(
  kept: Kept<K, T>,
  key: K,
  fact: (value: T) => F,
): F {
  return useSyncExternalStore(kept.subscribe, () => fact(kept.get(key)));
}
