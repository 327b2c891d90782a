/**
 * Room for the pixels of usual regions and for what is made of them, which a thread keeps for its next one: to find it anew, and to fill it for the first
 * time, takes longer than to read the pixels, and what was let go makes the collector look round.
 */
import { KeptRooms, NEW_ROOMS, type Rooms } from '../../analysis/raster/rooms.ts';
import type { BoxPx } from '../scans/readScan.ts';
import { isLarge } from './largeRegion.ts';

let kept: KeptRooms | null = null;

/** The rooms are the work's own until it has ended; nothing that it gives back may lie in them. Who asks meanwhile, or for a large region, has others made. */
export async function withRoom<T>(boxPx: BoxPx, work: (rooms: Rooms) => Promise<T>): Promise<T> {
  if (isLarge(boxPx)) return work(NEW_ROOMS);
  const rooms = kept ?? new KeptRooms();
  kept = null;
  try {
    return await work(rooms);
  } finally {
    rooms.letGo();
    kept = rooms;
  }
}
