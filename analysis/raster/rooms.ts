/**
 * Room for rasters. What is new comes from the system, page by page and zeroed, and what is let go is looked for by the collector: together they took
 * a tenth of what a region of strokes costs, so that whoever measures one region after the other keeps their rooms.
 */
export interface Rooms {
  /** Whatever was in it before. */
  floats(length: number): Float32Array<ArrayBuffer>;
  zeroFloats(length: number): Float32Array<ArrayBuffer>;
  zeroCounts(length: number): Uint16Array<ArrayBuffer>;
  /** Whatever was in it before. */
  bytes(length: number): Uint8Array<ArrayBuffer>;
  zeroBytes(length: number): Uint8Array<ArrayBuffer>;
}

/** New ones, which nobody else will ever use. */
export const NEW_ROOMS: Rooms = {
  floats: (length) => new Float32Array(length),
  zeroFloats: (length) => new Float32Array(length),
  zeroCounts: (length) => new Uint16Array(length),
  bytes: (length) => new Uint8Array(length),
  zeroBytes: (length) => new Uint8Array(length),
};

/** What is smaller the heap itself has room for. */
const LEAST_BYTES = 1 << 16;
/** Nothing that needs less than this share of a room is given it. */
const LEAST_SHARE = 0.5;

/** For one piece of work at a time: once it is done with all that it took, and has handed none of it on, it lets go and the next may have it. */
export class KeptRooms implements Rooms {
  #free: ArrayBuffer[] = [];
  #taken: ArrayBuffer[] = [];

  floats(length: number): Float32Array<ArrayBuffer> {
    return new Float32Array(this.#kept(4 * length) ?? this.#fresh(4 * length), 0, length);
  }

  zeroFloats(length: number): Float32Array<ArrayBuffer> {
    const kept = this.#kept(4 * length);
    return kept ? new Float32Array(kept, 0, length).fill(0) : new Float32Array(this.#fresh(4 * length));
  }

  zeroCounts(length: number): Uint16Array<ArrayBuffer> {
    const kept = this.#kept(2 * length);
    return kept ? new Uint16Array(kept, 0, length).fill(0) : new Uint16Array(this.#fresh(2 * length));
  }

  bytes(length: number): Uint8Array<ArrayBuffer> {
    return new Uint8Array(this.#kept(length) ?? this.#fresh(length), 0, length);
  }

  zeroBytes(length: number): Uint8Array<ArrayBuffer> {
    const kept = this.#kept(length);
    return kept ? new Uint8Array(kept, 0, length).fill(0) : new Uint8Array(this.#fresh(length));
  }

  /** All that was taken is free again; what nobody asked for meanwhile is not kept any longer. */
  letGo(): void {
    this.#free = this.#taken;
    this.#taken = [];
  }

  /** The smallest that is large enough, and not far too large. */
  #kept(bytes: number): ArrayBuffer | null {
    const fits = this.#free.filter(({ byteLength }) => byteLength >= bytes && LEAST_SHARE * byteLength <= bytes);
    if (fits.length === 0 || bytes < LEAST_BYTES) return null;
    const best = fits.reduce((a, b) => (b.byteLength < a.byteLength ? b : a));
    this.#free.splice(this.#free.indexOf(best), 1);
    this.#taken.push(best);
    return best;
  }

  #fresh(bytes: number): ArrayBuffer {
    const room = new ArrayBuffer(bytes);
    if (bytes >= LEAST_BYTES) this.#taken.push(room);
    return room;
  }
}
