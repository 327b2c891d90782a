import { rootOf } from './components.ts';

/** Pixels above `low` that hang together (8-connected) with one above `seed`, run by run. */
export function growFrom(values: Float32Array, w: number, h: number, seed: number, low: number): Uint8Array {
  const inside = new Uint8Array(w * h);
  let runs = new Int32Array(2 * Math.max(1024, w));
  let parent = new Int32Array(Math.max(1024, w));
  let seeded = new Uint8Array(parent.length);
  let count = 0;
  let above = 0;
  let aboveEnd = 0;
  for (let y = 0; y < h; y++) {
    if (count + w > parent.length) {
      runs = twice(runs, new Int32Array(2 * runs.length));
      parent = twice(parent, new Int32Array(2 * parent.length));
      seeded = twice(seeded, new Uint8Array(2 * seeded.length));
    }
    const rowStart = count;
    count = runsOfRow(values, y * w, (y + 1) * w, seed, low, runs, seeded, count);
    joinRow(runs, parent, seeded, w, above, aboveEnd, count);
    above = rowStart;
    aboveEnd = count;
  }
  for (let from = 0; from < count; from += CHUNK) {
    fillSeeded(runs, parent, seeded, from, Math.min(count, from + CHUNK), inside);
  }
  return inside;
}

// A row or a few runs at a time: what is called often is soon compiled.
const CHUNK = 256;

/** The runs of a row with those of the row above, `above` to `aboveEnd`, which they follow. */
function joinRow(
  runs: Int32Array,
  parent: Int32Array,
  seeded: Uint8Array,
  w: number,
  above: number,
  aboveEnd: number,
  end: number,
): void {
  let first = above;
  for (let run = aboveEnd; run < end; run++) {
    parent[run] = run;
    // Runs of the row above that end before this one begins touch none that follows either.
    while (first < aboveEnd && runs[2 * first + 1] + w < runs[2 * run]) first++;
    for (let k = first; k < aboveEnd && runs[2 * k] + w <= runs[2 * run + 1]; k++) unite(parent, seeded, k, run);
  }
}

function fillSeeded(
  runs: Int32Array,
  parent: Int32Array,
  seeded: Uint8Array,
  from: number,
  to: number,
  inside: Uint8Array,
): void {
  for (let run = from; run < to; run++) {
    if (seeded[rootOf(parent, run)] === 1) inside.fill(1, runs[2 * run], runs[2 * run + 1]);
  }
}

/** First pixel and the one after the last of each run above `low`, and whether one is above `seed`. @returns how many runs there are then */
function runsOfRow(
  values: Float32Array,
  from: number,
  to: number,
  seed: number,
  low: number,
  runs: Int32Array,
  seeded: Uint8Array,
  before: number,
): number {
  let count = before;
  for (let i = from; i < to; i++) {
    if (!(values[i] > low)) continue;
    runs[2 * count] = i;
    let isSeed = 0;
    for (; i < to && values[i] > low; i++) if (values[i] > seed) isSeed = 1;
    runs[2 * count + 1] = i;
    seeded[count++] = isSeed;
  }
  return count;
}

function unite(parent: Int32Array, seeded: Uint8Array, a: number, b: number): void {
  const rootA = rootOf(parent, a);
  const rootB = rootOf(parent, b);
  const to = rootA < rootB ? rootA : rootB;
  const from = rootA < rootB ? rootB : rootA;
  parent[from] = to;
  if (seeded[from] === 1) seeded[to] = 1;
}

function twice<T extends Int32Array | Uint8Array>(values: T, room: T): T {
  room.set(values);
  return room;
}
