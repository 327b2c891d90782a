/** Which pyramids are being made: one at a time, each once however many ask for it. */
import { Turns } from './turns.ts';

/** After a cache that could not be written, how long it is not tried again. */
const REST_MS = 30_000;

export class Pyramids<Scan extends { readonly hash: string }> {
  readonly #make: (scan: Scan) => Promise<boolean>;
  readonly #turns = new Turns(1);
  readonly #asked = new Map<string, Promise<boolean>>();

  /** @param make Answers whether it stands now. */
  constructor(make: (scan: Scan) => Promise<boolean>) {
    this.#make = make;
  }

  /** Whether there is one now. Never rejects: without one, scans are shown all the same. */
  of(scan: Scan): Promise<boolean> {
    const known = this.#asked.get(scan.hash);
    if (known) return known;
    const made = this.#turns.take(() => this.#make(scan)).catch(() => false);
    this.#asked.set(scan.hash, made);
    void made.then((stands) => {
      // One that stands may be thrown out for want of room, and is then made anew.
      if (stands) this.#asked.delete(scan.hash);
      else setTimeout(() => this.#asked.delete(scan.hash), REST_MS).unref();
    });
    return made;
  }
}
