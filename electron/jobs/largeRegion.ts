/** Regions whose pixels are let go as soon as nobody holds them, of smaller ones some may lie about at a time; and regions that no memory holds. */
import { totalmem } from 'node:os';
import type { BoxPx } from '../scans/readScan.ts';
import { JobError } from './jobError.ts';
import type { RegionTask } from './tasks.ts';

/** Four megapixels, which take 250 MB while they are measured: smaller ones find room beside what they have let go, and every look round costs time. */
const LARGE_PX = 4e6;

/** A pixel of a large region while it is measured: 42 to 44 bytes in boxes of 45 to 139 megapixels of an A4 page at 1200 dpi (paper, swab, strokes). */
const PIXEL_BYTES = 45;

/** What of the machine's memory a region may take; the system, the window and the scan on the screen have the rest. Common practice, no source. */
const SHARE = 0.75;

const GIGABYTE = 1e9;

export function isLarge(box: BoxPx): boolean {
  return pixelsOf(box) > LARGE_PX;
}

/** Of the machine, or of the container that the program runs in. */
export function machineMemoryBytes(): number {
  // 0, or more than there is, where nothing is constrained.
  return Math.min(totalmem(), process.constrainedMemory() || Infinity);
}

/** Before anything is read: without room the system would end the whole program, not this region. @throws JobError 'region-too-large' */
export function refuseTooLarge(
  { boxPx, dpi, measure }: Pick<RegionTask, 'boxPx' | 'dpi' | 'measure'>,
  memoryBytes: number,
): void {
  const front = measure.kind === 'reverse' && measure.front ? pixelsOf(measure.front.boxPx) : 0;
  const pixels = pixelsOf(boxPx) + front;
  const most = (SHARE * memoryBytes) / PIXEL_BYTES;
  if (pixels <= most) return;
  const enoughDpi = Math.floor(dpi * Math.sqrt(most / pixels));
  throw new JobError(
    'region-too-large',
    `its box holds ${megapixels(pixels)} megapixels, which take about ${gigabytes(pixels * PIXEL_BYTES)} GB of memory while they are measured, ` +
      `and this machine has ${gigabytes(memoryBytes)} GB; expected at most ${megapixels(most)} megapixels. ` +
      `Draw several smaller boxes, or scan at ${enoughDpi} dpi or less.`,
  );
}

function pixelsOf([, , width, height]: BoxPx): number {
  return width * height;
}

function megapixels(pixels: number): string {
  return String(Number((pixels / 1e6).toPrecision(3)));
}

function gigabytes(bytes: number): string {
  return (bytes / GIGABYTE).toFixed(1);
}
