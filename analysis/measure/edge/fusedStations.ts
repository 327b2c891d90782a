/**
 * Where two strokes that lie beside or half on one another pass for one broad stroke: arches that leave their stem, stems gone
 * over beside themselves, loops that touch. Such places are short and far broader than what their line has elsewhere.
 */
import { DIRECTIONS } from './direction.ts';
import type { TwoEdges } from './lineEdges.ts';
import type { StrokeEdges } from './strokeEdges.ts';

interface OwnStroke {
  readonly stroke: Pick<StrokeEdges, 'line' | 'direction' | 'inner'>;
  readonly edges: TwoEdges;
  readonly counted: Uint8Array;
}

/** Nothing is left out that is less than this many times as broad as the usual … */
const BROADER = 1.3;
/** … or within so many standard deviations of what a hand's pressure makes of it (handwriting of study edges, seeds 102–144). */
const SIGMAS = 4;
/** The shortest interval that holds half of a normal distribution is as long as so many of its standard deviations. */
const HALF_SIGMAS = 1.349;
/** Of fewer stations than this nothing is told. */
const LEAST = 40;
/** A nib writes evenly when this share of all stations, in this share of the directions, differ by no more than this share of their width. */
const EVEN_SHARE = 0.25;
const EVEN_DIRECTIONS = 0.6;
const EVEN = 0.05;
/** A direction is asked with so many stations, and has the even width when this share of them has. */
const LEAST_OF_DIRECTION = 10;
const EVEN_OF_DIRECTION = 0.12;
/** Half of a direction's widths lie in an interval of this share of them, where the nib makes them. */
const AGREE = 0.35;
/** What stays broad for more than this many times its own width is a broad line. */
const LONG = 4;
/** Where strokes part their edges still bend: so much more is left out on either hand, of the width. */
const REACH = 0.3;

/** Takes stations off `counted`, in place. */
export function leaveOutFused(strokes: readonly OwnStroke[]): void {
  const most = mostWidths(strokes);
  for (const { stroke, edges, counted } of strokes) {
    const isBroad = broadStations(edges, stroke.direction, counted, most);
    for (let i = 0; i < isBroad.length; i++) {
      if (isBroad[i] === 0) continue;
      const from = i;
      let sum = 0;
      for (; i < isBroad.length && isBroad[i] === 1; i++) sum += edges.left.away[i] + edges.right.away[i];
      const widthPx = sum / (i - from);
      if ((i - from) * stroke.line.stepPx >= LONG * widthPx) continue;
      const reach = Math.round((REACH * widthPx) / stroke.line.stepPx);
      counted.fill(0, Math.max(0, from - reach), i + reach);
    }
  }
}

function broadStations(
  { left, right }: TwoEdges,
  direction: Uint8Array,
  counted: Uint8Array,
  most: Float64Array,
): Uint8Array {
  const out = new Uint8Array(counted.length);
  for (let i = 0; i < out.length; i++) {
    out[i] = counted[i] === 1 && left.away[i] + right.away[i] > most[direction[i]] ? 1 : 0;
  }
  return out;
}

/** The broadest that a stroke of each direction may be, px: of a nib that writes evenly the same in all, else from the direction's own widths. */
function mostWidths(strokes: readonly OwnStroke[]): Float64Array {
  const byDirection = widthsByDirection(strokes);
  const even = evenWidth(byDirection);
  if (even !== null) return new Float64Array(DIRECTIONS).fill(BROADER * even);
  const limits = byDirection.map((own, d) => mostOf(own) ?? mostOf(around(byDirection, d).flat()) ?? Infinity);
  return Float64Array.from(limits, (_, d) => Math.max(...around(limits, d)));
}

/** A direction's own and its neighbours': a stub that turns is as broad as one of the three at most. */
function around<T>(byDirection: readonly T[], d: number): readonly [T, T, T] {
  return [byDirection[(d + DIRECTIONS - 1) % DIRECTIONS], byDirection[d], byDirection[(d + 1) % DIRECTIONS]];
}

function mostOf(widths: readonly number[]): number | null {
  if (widths.length < LEAST) return null;
  const [from, to] = shortestWith(0.5, widths);
  const middle = (from + to) / 2;
  return Math.max(BROADER * middle, middle + (SIGMAS / HALF_SIGMAS) * (to - from));
}

function widthsByDirection(strokes: readonly OwnStroke[]): number[][] {
  const widths: number[][] = Array.from({ length: DIRECTIONS }, () => []);
  for (const { stroke, edges, counted } of strokes) {
    for (let i = 0; i < counted.length; i++) {
      if (counted[i] === 0 || stroke.inner[i] === 0) continue;
      widths[stroke.direction[i]].push(edges.left.away[i] + edges.right.away[i]);
    }
  }
  return widths;
}

/** What a round nib writes whatever the direction, even where most of its strokes lie on one another; null when there is no such width. */
function evenWidth(byDirection: readonly (readonly number[])[]): number | null {
  const all = byDirection.flat();
  if (all.length < LEAST) return null;
  const [from, to] = shortestWith(EVEN_SHARE, all);
  if (to - from > EVEN * from) return null;
  const asked = byDirection.filter((own) => own.length >= LEAST_OF_DIRECTION);
  const low = (1 - EVEN) * from;
  const high = (1 + EVEN) * to;
  const isAlike = (own: readonly number[]) =>
    own.filter((w) => w >= low && w <= high).length >= EVEN_OF_DIRECTION * own.length;
  const alike = asked.filter(isAlike);
  if (asked.some((own) => own.length >= LEAST && !isAlike(own) && agree(own))) return null;
  return alike.length >= EVEN_DIRECTIONS * asked.length ? (from + to) / 2 : null;
}

/** Strokes that lie on one another by chance are of all breadths; a stub's of one direction are not. */
function agree(widths: readonly number[]): boolean {
  const [from, to] = shortestWith(0.5, widths);
  return to - from <= AGREE * from;
}

/** The shortest interval that holds this share of the values. */
function shortestWith(share: number, values: readonly number[]): readonly [number, number] {
  const sorted = Float64Array.from(values).sort();
  const by = Math.ceil(share * sorted.length) - 1;
  let best = 0;
  for (let k = 1; k + by < sorted.length; k++) {
    if (sorted[k + by] - sorted[k] < sorted[best + by] - sorted[best]) best = k;
  }
  return [sorted[best], sorted[best + by]];
}
