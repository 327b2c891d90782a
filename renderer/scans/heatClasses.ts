/**
 * A map of colour differences in lightness alone: what is near the pinned colour stays clear, what is far is veiled, in steps
 * at round ΔE00, with a line at each step.
 */

/** ΔE00: about just visible side by side, visible at a glance, another shade, another colour (common practice, no source). */
export const HEAT_LIMITS = [1, 2, 5, 10] as const;

/** How much of the veil covers each class, 0..1. */
export const VEILS = [0, 0.3, 0.52, 0.7, 0.85] as const;

/** A veil that the pinned colour does not share: light over dark inks, dark over pale papers. */
export type VeilTone = 'dark' | 'light';

export function veilTone(pinnedL: number): VeilTone {
  return pinnedL < 50 ? 'light' : 'dark';
}

/** 0: below the first limit; a difference on a limit belongs above it. */
export function heatClass(dE: number): number {
  let own = 0;
  while (own < HEAT_LIMITS.length && dE >= HEAT_LIMITS[own]) own++;
  return own;
}

/** Unveiled grey codes of both veils. */
const TONE = { dark: 12, light: 243 } as const;
const LINE = { dark: 243, light: 12 } as const;
const LINE_ALPHA = 200;

/**
 * RGBA of the map, `4 * columns * rows`. Classes and lines are taken from differences averaged 3 × 3, else the paper's grain would
 * draw a line round every fibre.
 */
export function heatPicture(
  dE: Float32Array,
  columns: number,
  rows: number,
  tone: VeilTone,
): Uint8ClampedArray<ArrayBuffer> {
  const classes = smoothClasses(dE, columns, rows);
  const picture = new Uint8ClampedArray(4 * columns * rows);
  // Whole pixels at a time: four bytes of one grey and its cover.
  const pixels = new Uint32Array(picture.buffer);
  const veils = VEILS.map((veil) => greyPixel(TONE[tone], 255 * veil));
  const line = greyPixel(LINE[tone], LINE_ALPHA);
  for (let row = 0, i = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++, i++) {
      const own = classes[i];
      const right = column + 1 < columns ? classes[i + 1] : own;
      const below = row + 1 < rows ? classes[i + columns] : own;
      pixels[i] = right !== own || below !== own ? line : veils[own];
    }
  }
  return picture;
}

/** Its four bytes, in this machine's order, as one number. */
function greyPixel(grey: number, alpha: number): number {
  const bytes = Uint8ClampedArray.of(grey, grey, grey, alpha);
  return new Uint32Array(bytes.buffer)[0];
}

function smoothClasses(dE: Float32Array, columns: number, rows: number): Uint8Array {
  const across = new Float32Array(dE.length);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const i = row * columns + column;
      const left = column > 0 ? dE[i - 1] : dE[i];
      const right = column + 1 < columns ? dE[i + 1] : dE[i];
      across[i] = left + dE[i] + right;
    }
  }
  const classes = new Uint8Array(dE.length);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const i = row * columns + column;
      const above = row > 0 ? across[i - columns] : across[i];
      const below = row + 1 < rows ? across[i + columns] : across[i];
      classes[i] = heatClass((above + across[i] + below) / 9);
    }
  }
  return classes;
}
