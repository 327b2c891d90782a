/** How steeply an absorption curve ends towards long waves. */
import { GRID } from './grid.ts';

/** Bands steeper than this belong to dyes (xanthenes, acridines, azines) whose fits are surer of themselves than they are right. */
export const NARROW_NM = 15;
/** Bands lower than this share of the strongest colour little. */
const LEAST_BAND = 0.3;

/** The shortest way, nm, from a band's top to where it has fallen to half towards long waves; Infinity where none falls so far. */
export function longSideNm(k: ArrayLike<number>): number {
  let top = 0;
  for (let l = 0; l < k.length; l++) top = Math.max(top, k[l]);
  let shortest = Infinity;
  for (let l = 0; l < k.length - 1; l++) {
    const isTop = (l === 0 || k[l] >= k[l - 1]) && k[l] > k[l + 1];
    if (!isTop || k[l] < LEAST_BAND * top) continue;
    const half = k[l] / 2;
    for (let m = l + 1; m < k.length && k[m] <= k[m - 1]; m++) {
      if (k[m] > half) continue;
      shortest = Math.min(shortest, GRID.stepNm * (m - 1 - l + (k[m - 1] - half) / (k[m - 1] - k[m])));
      break;
    }
  }
  return shortest;
}
