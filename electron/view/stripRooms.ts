/**
 * Rooms for the strip of a picture that is being worked on, the same ones again and again: a new one for each costs as much as the arithmetic, for the
 * system hands out its pages one by one and the collector takes them back. Whoever takes one is done with it before anything is waited for.
 */
import type { LinearRoom } from '../../analysis/calibrate/apply.ts';

class StripRoom {
  #floats = new Float32Array(0);
  #bytes = new Uint8Array(0);

  /** For so many pixels, three numbers each; whatever was in it before. */
  of(pixels: number): LinearRoom {
    if (this.#bytes.length < pixels) {
      this.#floats = new Float32Array(3 * pixels);
      this.#bytes = new Uint8Array(pixels);
    }
    return { data: this.#floats.subarray(0, 3 * pixels), clipped: this.#bytes.subarray(0, pixels) };
  }
}

export const SCANNED = new StripRoom();
export const AVERAGED = new StripRoom();
