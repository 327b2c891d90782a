/** What was worked out once, kept as long as all that it hangs on is the same. */
import { Recent } from '../view/recent.ts';

interface Kept<T> {
  readonly toldOf: readonly unknown[];
  readonly value: T;
}

export class KeptWhileTrue<T> {
  readonly #kept: Recent<Kept<T>>;

  /** @param most that are kept: those asked for last */
  constructor(most: number) {
    this.#kept = new Recent(most);
  }

  /**
   * @param toldOf all that the value hangs on, each the very same value or object as long as it has not changed
   * @returns null: not kept, or no longer true
   */
  get(name: string, toldOf: readonly unknown[]): T | null {
    const known = this.#kept.get(name);
    const isSame = known?.toldOf.length === toldOf.length && known.toldOf.every((one, i) => one === toldOf[i]);
    return isSame ? known.value : null;
  }

  keep(name: string, toldOf: readonly unknown[], value: T): T {
    return this.#kept.set(name, { toldOf, value }).value;
  }
}
