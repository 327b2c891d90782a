/** Tables of numbers as text: base64 of little-endian values. */

const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

export function bytesOf(text: string): Uint8Array {
  const clean = text.replace(/=+$/, '');
  const bytes = new Uint8Array(Math.floor((clean.length * 3) / 4));
  let bits = 0;
  let held = 0;
  let at = 0;
  for (const letter of clean) {
    held = (held << 6) | ALPHABET.indexOf(letter);
    bits += 6;
    if (bits < 8) continue;
    bits -= 8;
    bytes[at++] = (held >> bits) & 255;
    held &= (1 << bits) - 1;
  }
  return bytes;
}

/** @returns rows of `width` values */
export function floatRows(text: string, width: number): Float64Array[] {
  const bytes = bytesOf(text);
  const view = new DataView(bytes.buffer);
  const rows: Float64Array[] = [];
  for (let at = 0; at + 4 * width <= bytes.length; at += 4 * width) {
    rows.push(Float64Array.from({ length: width }, (_, i) => view.getFloat32(at + 4 * i, true)));
  }
  return rows;
}

/** Absorption 0..1 kept as 255 · √k, so that faint ones stay exact. */
export function rootRows(text: string, width: number): Float64Array[] {
  const bytes = bytesOf(text);
  const rows: Float64Array[] = [];
  for (let at = 0; at + width <= bytes.length; at += width) {
    rows.push(Float64Array.from({ length: width }, (_, i) => (bytes[at + i] / 255) ** 2));
  }
  return rows;
}

/** One Gaussian of several: its share of belief, its mean, and independent unit normals' modes. */
export interface MixtureRow {
  readonly share: number;
  readonly mean: Float64Array;
  readonly modes: readonly Float64Array[];
}

/** @param text as many rows a Gaussian as there are shares to divide them by: its mean, then its modes */
export function mixtureRows(shares: readonly number[], text: string, width: number): MixtureRow[] {
  const rows = floatRows(text, width);
  const each = rows.length / shares.length;
  return shares.map((share, n) => {
    const [mean, ...modes] = rows.slice(n * each, (n + 1) * each);
    return { share, mean, modes };
  });
}
