/** Lists that outlive a reload of the window, in the tab's own storage. */

/** What another version of the program kept otherwise is none of it. */
export function readKept<T>(place: string, isOne: (found: Partial<T> | null) => found is T): readonly T[] {
  try {
    const found: unknown = JSON.parse(sessionStorage.getItem(place) ?? '[]');
    return Array.isArray(found) ? found.filter(isOne) : [];
  } catch {
    return [];
  }
}

/** A browser that keeps nothing, or no more, loses the list when the window is loaded anew, and nothing else. */
export function keepInTab(place: string, list: readonly unknown[]): void {
  try {
    if (list.length === 0) sessionStorage.removeItem(place);
    else sessionStorage.setItem(place, JSON.stringify(list));
  } catch {
    // As said above.
  }
}
