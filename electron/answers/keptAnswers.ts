/** Answers in JSON, made and written out once and kept as long as what they tell of is the same. */
import { KeptWhileTrue } from './keptWhileTrue.ts';

/** As it travels. */
export type JsonBytes = Uint8Array<ArrayBuffer>;

export class KeptAnswers {
  readonly #kept: KeptWhileTrue<JsonBytes>;

  /** @param most that are kept: those asked for last */
  constructor(most: number) {
    this.#kept = new KeptWhileTrue(most);
  }

  /** @see KeptWhileTrue.get */
  get(name: string, toldOf: readonly unknown[]): JsonBytes | null {
    return this.#kept.get(name, toldOf);
  }

  keep(name: string, toldOf: readonly unknown[], answer: unknown): JsonBytes {
    return this.#kept.keep(name, toldOf, new TextEncoder().encode(JSON.stringify(answer)));
  }
}
