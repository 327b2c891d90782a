/**
 * Room for the pixels of usual regions, which a thread keeps for its next one: to find it anew, and to fill it for the first time, takes longer than to read
 * the pixels, and what was let go makes the collector look round.
 */
import { type LinearRoom, linearRoom } from '../../analysis/calibrate/apply.ts';
import type { BoxPx } from '../scans/readScan.ts';
import { isLarge } from './largeRegion.ts';

let kept: LinearRoom | null = null;

/** The room is the work's own until it has ended; nothing that it gives back may lie in it. Who asks meanwhile, or for a large region, has one made. */
export async function withRoom<T>(boxPx: BoxPx, work: (room: LinearRoom) => Promise<T>): Promise<T> {
  const pixels = boxPx[2] * boxPx[3];
  if (isLarge(boxPx)) return work(linearRoom(pixels));
  const room = kept !== null && kept.clipped.length >= pixels ? kept : linearRoom(pixels);
  kept = null;
  try {
    return await work({ data: room.data.subarray(0, 3 * pixels), clipped: room.clipped.subarray(0, pixels) });
  } finally {
    kept = room;
  }
}
