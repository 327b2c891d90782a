/** Which way a liquid can have gone in a box of that shape: lengthwise. */
import type { Travel } from './strip.ts';

/** Strips are several times as long as wide; a box that is nearer to a square tells nothing. Common practice, no source. */
const LENGTHWISE = 1.5;

/** The axis that a strip's box tells; null: it is no longer than wide. @param boxMm left, top, width, height */
export function axisOfBox([, , width, height]: readonly [number, number, number, number]): 'x' | 'y' | null {
  if (width >= LENGTHWISE * height) return 'x';
  return height >= LENGTHWISE * width ? 'y' : null;
}

/** Of the box: x runs to the right, y down. */
export function axisOf(travel: Travel): 'x' | 'y' {
  return travel === 'left' || travel === 'right' ? 'x' : 'y';
}

/** What is taken where nobody says: upwards, as strips hang; of one that lies on its side, to the right. */
export function usualTravel(boxMm: readonly [number, number, number, number]): Travel {
  return axisOfBox(boxMm) === 'x' ? 'right' : 'up';
}
