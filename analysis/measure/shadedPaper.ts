/** Bare paper that a fold, a shadow or a stain darkens: beside it lies the paper that a person meant. */
import { median } from '../quantile.ts';
import type { Signal } from '../locate/paperSurface.ts';
import { fitSurface, surfaceAt } from '../raster/lowOrderSurface.ts';
import { triple } from '../triple.ts';
import { type PaperBox, paperSquares, SHADE } from './paperSquares.ts';

/** Shade is so many times the others' scatter about their mean, or about the plane through them, too. */
const SCATTERS = 5;
/** A fleck is alone; a shaded square has so many shaded ones about it. */
const LEAST_ABOUT = 3;
/** Of more than this nobody can tell which part is the paper. */
const MOST_SHADED = 0.35;

/**
 * @param print 1 where something is printed; null: nowhere.
 * @returns 1 of each shaded pixel; null where none is, too little was marked, or too much is shaded
 */
export function shadedPaper(signal: PaperBox, print: Uint8Array | null): Uint8Array | null {
  const squares = paperSquares(signal, print);
  if (squares === null) return null;
  const { side, across, down, kept, places, means } = squares;
  // Shade at one end of the box tilts a plane, but no plain mean; light that falls off across the box scatters about that one too widely for any shade.
  const shaded = darkSquares(kept, places, means, 0, across, down) ?? darkSquares(kept, places, means, 1, across, down);
  if (shaded === null) return null;
  // Its rim lies in the squares beside.
  const wide = shaded.map((_, s) => (shaded[s] === 1 || darkAbout(shaded, s, across, down) > 0 ? 1 : 0));
  if (wide.reduce((a, b) => a + b, 0) > MOST_SHADED * wide.length) return null;
  const { widthPx, heightPx } = signal;
  const out = new Uint8Array(widthPx * heightPx);
  for (let i = 0; i < out.length; i++) {
    const column = Math.min(across - 1, Math.floor((i % widthPx) / side));
    out[i] = wide[Math.min(down - 1, Math.floor(i / widthPx / side)) * across + column];
  }
  return out;
}

/** 1 of each square that is darker than the surface through all, and has others about it; null where none is. */
function darkSquares(
  kept: readonly number[],
  places: readonly (readonly [number, number])[],
  means: readonly Signal[],
  order: 0 | 1,
  across: number,
  down: number,
): Uint8Array | null {
  const surface = fitSurface(places, means, order);
  const at: [number, number, number] = [0, 0, 0];
  const off = means.map((mean, i) => {
    surfaceAt(surface, places[i][0], places[i][1], at);
    return triple((c) => mean[c] / at[c] - 1);
  });
  const limits = triple((c) => Math.max(SHADE, SCATTERS * 1.4826 * median(off.map((v) => Math.abs(v[c])))));
  const dark = new Uint8Array(across * down);
  off.forEach((v, i) => {
    if (v.some((d, c) => d < -limits[c])) dark[kept[i]] = 1;
  });
  const shaded = dark.map((v, s) => (v === 1 && darkAbout(dark, s, across, down) >= LEAST_ABOUT ? 1 : 0));
  return shaded.includes(1) ? shaded : null;
}

function darkAbout(dark: Uint8Array, s: number, across: number, down: number): number {
  const [x, y] = [s % across, Math.floor(s / across)];
  let count = 0;
  for (let v = Math.max(0, y - 1); v <= Math.min(down - 1, y + 1); v++) {
    for (let u = Math.max(0, x - 1); u <= Math.min(across - 1, x + 1); u++) {
      if (dark[v * across + u] === 1 && (u !== x || v !== y)) count++;
    }
  }
  return count;
}
