/** The 8-connected pieces of a mask, by runs: no label image, memory grows with what is there and not with the page. */
import type { Mask } from './raster.ts';

export interface Component {
  readonly area: number;
  /** First and last pixel, inclusive. */
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
  /** Mean of the pixel centres (integer + 0.5). */
  readonly centroid: readonly [x: number, y: number];
  /** y, first x, last x (inclusive), one triple a run, top to bottom and left to right. */
  readonly runs: Int32Array;
}

/** Exact; components come in the order of their topmost, then leftmost run. */
export function components(mask: Mask): Component[] {
  const { data, widthPx, heightPx } = mask;
  const runs: number[] = [];
  const parent: number[] = [];
  let above = 0;
  let aboveEnd = 0;
  for (let y = 0; y < heightPx; y++) {
    const rowStart = parent.length;
    const row = y * widthPx;
    for (let x = 0; x < widthPx; x++) {
      if (data[row + x] === 0) continue;
      const first = x;
      while (x + 1 < widthPx && data[row + x + 1] !== 0) x++;
      const run = parent.length;
      runs.push(y, first, x);
      parent.push(run);
      // Runs of the row above that end before this one begins touch none that follows either.
      while (above < aboveEnd && runs[3 * above + 2] < first - 1) above++;
      for (let k = above; k < aboveEnd && runs[3 * k + 1] <= x + 1; k++) unite(parent, k, run);
    }
    above = rowStart;
    aboveEnd = parent.length;
  }
  return gather(runs, parent);
}

/** The smaller root wins, so that a component's root is its first run. */
function unite(parent: number[], a: number, b: number): void {
  const rootA = find(parent, a);
  const rootB = find(parent, b);
  if (rootA < rootB) parent[rootB] = rootA;
  else parent[rootA] = rootB;
}

function find(parent: number[], run: number): number {
  let root = run;
  while (parent[root] !== root) root = parent[root];
  while (parent[run] !== root) {
    const next = parent[run];
    parent[run] = root;
    run = next;
  }
  return root;
}

function gather(runs: readonly number[], parent: number[]): Component[] {
  const members = new Map<number, number[]>();
  for (let run = 0; run < parent.length; run++) {
    const root = find(parent, run);
    const list = members.get(root);
    if (list === undefined) members.set(root, [run]);
    else list.push(run);
  }
  return [...members.values()].map((list) => {
    const own = new Int32Array(3 * list.length);
    let area = 0;
    let sumX = 0;
    let sumY = 0;
    let x0 = Infinity;
    let x1 = -Infinity;
    list.forEach((run, k) => {
      const y = runs[3 * run];
      const first = runs[3 * run + 1];
      const last = runs[3 * run + 2];
      own[3 * k] = y;
      own[3 * k + 1] = first;
      own[3 * k + 2] = last;
      const length = last - first + 1;
      area += length;
      sumX += (length * (first + last + 1)) / 2;
      sumY += length * (y + 0.5);
      x0 = Math.min(x0, first);
      x1 = Math.max(x1, last);
    });
    return { area, x0, y0: own[0], x1, y1: own[own.length - 3], centroid: [sumX / area, sumY / area], runs: own };
  });
}
