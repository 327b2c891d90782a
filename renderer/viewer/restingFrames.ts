/**
 * The engine asks for the next frame for as long as a scan is open, whether anything moves or not: a seventh of a processor for a page that
 * nobody touches. While nothing happens it is given some frames a second, and all of them again with the first sign that something does.
 */

/** What a browser lends; times in ms. */
export interface Clock {
  now(): number;
  frame(run: () => void): number;
  unframe(frame: number): void;
  after(ms: number, run: () => void): () => void;
}

/** Longer than any move of a view takes to come to rest. */
const AWAKE_MS = 1000;
/** Should a sign be missed, a view is late by so much. */
const RESTING_MS = 200;

/** A frame that the engine asked for: soon, or with the next. */
interface Asked {
  /** Called when it need not wait any longer; does nothing when it does not wait. */
  hasten(): void;
  callOff(): void;
}

export class RestingFrames {
  private readonly clock: Clock;
  private readonly asked = new Map<number, Asked>();
  private last = 0;
  private awakeUntil: number;

  constructor(clock: Clock) {
    this.clock = clock;
    this.awakeUntil = clock.now() + AWAKE_MS;
  }

  /** @returns its number, never 0 */
  ask(run: () => void): number {
    const id = ++this.last;
    const begin = (): number =>
      this.clock.frame(() => {
        this.asked.delete(id);
        run();
      });
    if (this.clock.now() < this.awakeUntil) {
      const frame = begin();
      this.asked.set(id, { hasten: () => {}, callOff: () => this.clock.unframe(frame) });
    } else {
      this.asked.set(id, this.waiting(begin));
    }
    return id;
  }

  callOff(id: number): void {
    this.asked.get(id)?.callOff();
    this.asked.delete(id);
  }

  /** Something happens: a person's hand, a tile that has come, a view that is set. */
  wake(): void {
    this.awakeUntil = this.clock.now() + AWAKE_MS;
    for (const one of this.asked.values()) one.hasten();
  }

  private waiting(begin: () => number): Asked {
    let frame = 0;
    const ask = (): void => {
      if (frame === 0) frame = begin();
    };
    const forget = this.clock.after(RESTING_MS, ask);
    return {
      hasten: () => {
        forget();
        ask();
      },
      callOff: () => {
        forget();
        this.clock.unframe(frame);
      },
    };
  }
}
