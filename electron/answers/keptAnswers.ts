/** Answers in JSON, made and written out once and kept as long as what they tell of is the same. */
import { Recent } from '../view/recent.ts';

/** As it travels. */
export type JsonBytes = Uint8Array<ArrayBuffer>;

interface Kept {
  readonly toldOf: readonly unknown[];
  readonly bytes: JsonBytes;
}

export class KeptAnswers {
  readonly #kept: Recent<Kept>;

  /** @param most that are kept: those asked for last */
  constructor(most: number) {
    this.#kept = new Recent(most);
  }

  /**
   * @param toldOf all that the answer hangs on, each the very same value or object as long as it has not changed
   * @returns null: not kept, or no longer true
   */
  get(name: string, toldOf: readonly unknown[]): JsonBytes | null {
    const known = this.#kept.get(name);
    const isSame = known?.toldOf.length === toldOf.length && known.toldOf.every((one, i) => one === toldOf[i]);
    return isSame ? known.bytes : null;
  }

  keep(name: string, toldOf: readonly unknown[], answer: unknown): JsonBytes {
    return this.#kept.set(name, { toldOf, bytes: new TextEncoder().encode(JSON.stringify(answer)) }).bytes;
  }
}
