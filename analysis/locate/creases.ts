/**
 * Creases beside an ink that leaves no channel clear (coarseInk.ts has those that do): where a coloured ink's page is a little darker without any of its
 * colour, it is the paper's own relief. An ink in a thinner layer has more colour, not less (Bouguer: the channel it takes most of pales last).
 */
import { components } from '../raster/components.ts';

/** An ink that takes so nearly the same of all channels is told from shade by nothing, share. */
const MOST_ALIKE = 0.7;
/** With less than this share of the colour that the ink would have at such strength, most of it is shade. */
const COLOURLESS = 0.5;
/** Creases that were pressed out take no more light than this; pencil and print do. Common practice, no source. */
const DARKEST = 0.2;

/**
 * Clears shade from what was found, in place.
 * @param lost Light that the densest ink takes, a share per channel. @param leastPx Smaller areas are left as they are. @returns whether there was any.
 */
export function dropCreases(
  found: Uint8Array,
  ratio: Float32Array,
  lost: readonly [number, number, number],
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
  leastPx: number,
): boolean {
  const clear = lost.indexOf(Math.min(...lost));
  const main = lost.indexOf(Math.max(...lost));
  const colour = 1 - lost[clear] / lost[main];
  if (colour < 1 - MOST_ALIKE) return false;
  const data = new Uint8Array(found.length);
  let count = 0;
  for (let start = 0; start < found.length; start += widthPx) {
    count += markShade(found, ratio, clear, main, COLOURLESS * colour, data, start, start + widthPx);
  }
  if (count < leastPx) return false;
  let any = false;
  for (const { area, runs } of components({ data, widthPx, heightPx })) {
    if (area < leastPx) continue;
    any = true;
    for (let r = 0; r < runs.length; r += 3) {
      found.fill(0, runs[r] * widthPx + runs[r + 1], runs[r] * widthPx + runs[r + 2] + 1);
    }
  }
  return any;
}

/** @returns how many there are in the row */
function markShade(
  found: Uint8Array,
  ratio: Float32Array,
  clear: number,
  main: number,
  least: number,
  out: Uint8Array,
  from: number,
  to: number,
): number {
  let count = 0;
  for (let i = from; i < to; i++) {
    if (found[i] === 0) continue;
    const most = 1 - ratio[3 * i + main];
    if (most > DARKEST || ratio[3 * i + clear] - 1 + most > least * most) continue;
    out[i] = 1;
    count++;
  }
  return count;
}
