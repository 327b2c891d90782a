/**
 * Ink that lies in the boxes of two samples: upright boxes around lines that lean, or drawn too large. One of the two counts what is not its own, and nothing
 * in its pixels tells.
 */
import { INK_MARKS } from './ink.ts';

/** Left, top, width, height in pixels of the scan, inside it. */
export type PixelBox = readonly [x: number, y: number, width: number, height: number];

export interface MarkedSample {
  readonly id: string;
  /** What wrote it and how: a sample inside another of the same kind and nib is a part that a person wants by itself. */
  readonly kind: string;
  readonly nib: string | null;
  readonly boxPx: PixelBox;
  /** What each pixel of the box counted as (INK_MARKS), row-major; null: nothing was found. */
  readonly marks: { readonly data: Uint8Array; readonly widthPx: number } | null;
}

/**
 * Less does little: the tail of a letter, the head of another. Blocks of three nibs on one page, their boxes grown into each other (seeds 60002, 60003): at 2.6 % in
 * common all figures lie within 1.7 u of the truth, at 5.5 % one is 3.2 u off, at 8 % 4.2.
 */
const MOST_SHARED = 0.03;

/** @param samples of one scan. @returns the ids of those that count ink of another's box */
export function sharingInk(samples: readonly MarkedSample[]): ReadonlySet<string> {
  const sharing = samples.filter((one) =>
    samples.some((other) => other !== one && mayShare(one, other) && shareWithin(one, other.boxPx) > MOST_SHARED),
  );
  return new Set(sharing.map(({ id }) => id));
}

function mayShare(one: MarkedSample, other: MarkedSample): boolean {
  if (isInside(one.boxPx, other.boxPx)) return false;
  return !(isInside(other.boxPx, one.boxPx) && one.kind === other.kind && one.nib === other.nib);
}

function isInside([x, y, w, h]: PixelBox, [left, top, width, height]: PixelBox): boolean {
  return x >= left && y >= top && x + w <= left + width && y + h <= top + height;
}

/** Of the sample's ink the part that lies in the box, 0..1. */
function shareWithin({ boxPx, marks }: MarkedSample, [left, top, width, height]: PixelBox): number {
  if (marks === null) return 0;
  const { data, widthPx } = marks;
  const heightPx = Math.floor(data.length / Math.max(1, widthPx));
  const [x0, y0] = boxPx;
  const from = [Math.max(0, left - x0), Math.max(0, top - y0)];
  const to = [Math.min(widthPx, left + width - x0), Math.min(heightPx, top + height - y0)];
  if (from[0] >= to[0] || from[1] >= to[1]) return 0;
  let within = 0;
  for (let y = from[1]; y < to[1]; y++) within += inkOf(data.subarray(y * widthPx + from[0], y * widthPx + to[0]));
  return within === 0 ? 0 : within / inkOf(data);
}

function inkOf(marks: Uint8Array): number {
  let count = 0;
  for (const mark of marks) if (mark !== INK_MARKS.none && mark < INK_MARKS.halo) count++;
  return count;
}
