/**
 * Which values of the scale a scan uses. A tone curve that software lays over values that are whole numbers already leaves its comb where it stretches:
 * values that no pixel has. Two scans made alike have one comb or none, whatever lies on the glass. Where it only squeezes, two values fall into one, which
 * cannot be told from what lies on the glass.
 */
import type { DeviceRaster } from '../raster/raster.ts';

/** Of one value: not seen, or too seldom to say; seen; surely none of the scale's. */
const USE = { unknown: 0, used: 1, unused: 2 } as const;

export interface ScaleUse {
  /** A scan of 16 bits that holds no more than 8 counts as one of 8. */
  readonly bits: 8 | 16;
  /** For each channel the use of every value of the scale. */
  readonly channels: readonly [Uint8Array, Uint8Array, Uint8Array];
}

/** All in pixels, at the values on both sides of one that is looked at; common practice, no source. */
const MANY = 50;
const SOME = 3;
/** The widest gap of a converter's own scale in 16 bits: 11 bits and some. */
const MOST_GAP = { 8: 3, 16: 40 } as const;

export interface ScaleCounter {
  /** @param everyRow 2: every other row */
  take(raster: Pick<DeviceRaster, 'data' | 'widthPx' | 'heightPx'>, everyRow?: number): void;
  done(): ScaleUse;
}

export function scaleCounter(bits: 8 | 16): ScaleCounter {
  const size = 2 ** bits;
  const counts = [new Uint32Array(size), new Uint32Array(size), new Uint32Array(size)] as const;
  return {
    take({ data, widthPx, heightPx }, everyRow = 1) {
      for (let y = 0; y < heightPx; y += everyRow) countRow(counts, data, 3 * y * widthPx, 3 * widthPx);
    },
    done() {
      const [r, g, b] = bits === 16 && counts.every(isOfEightBits) ? counts.map(inEightBits) : counts;
      const kept = r.length === 256 ? 8 : 16;
      return { bits: kept, channels: [useOf(r, kept), useOf(g, kept), useOf(b, kept)] };
    },
  };
}

function countRow(
  [red, green, blue]: readonly [Uint32Array, Uint32Array, Uint32Array],
  data: DeviceRaster['data'],
  from: number,
  length: number,
): void {
  for (let i = from; i < from + length; i += 3) {
    red[data[i]]++;
    green[data[i + 1]]++;
    blue[data[i + 2]]++;
  }
}

/** 16 bits that repeat 8. */
const REPEATED = 257;

function isOfEightBits(counts: Uint32Array): boolean {
  for (let v = 0; v < counts.length; v++) if (counts[v] !== 0 && v % REPEATED !== 0) return false;
  return true;
}

function inEightBits(counts: Uint32Array): Uint32Array {
  return Uint32Array.from({ length: 256 }, (_, v) => counts[REPEATED * v]);
}

function useOf(counts: Uint32Array, bits: 8 | 16): Uint8Array {
  const use = Uint8Array.from(counts, (n) => (n >= SOME ? USE.used : USE.unknown));
  markUnused(use, counts, MOST_GAP[bits]);
  return use;
}

/** Between two values that many pixels have, and the next beyond them too, one that none has is not of the scale. */
function markUnused(use: Uint8Array, counts: Uint32Array, mostGap: number): void {
  const seen: number[] = [];
  for (let v = 0; v < counts.length; v++) if (counts[v] > 0) seen.push(v);
  const isMany = (k: number): boolean => counts[seen[k]] >= MANY;
  const isNear = (k: number): boolean => seen[k + 1] - seen[k] <= mostGap;
  for (let k = 1; k + 2 < seen.length; k++) {
    if (seen[k + 1] - seen[k] === 1) continue;
    if (!isNear(k - 1) || !isNear(k) || !isNear(k + 1)) continue;
    if (isMany(k - 1) && isMany(k) && isMany(k + 1) && isMany(k + 2)) use.fill(USE.unused, seen[k] + 1, seen[k + 1]);
  }
}

/** So many values must tell: of 8 bits, where a stretch by 2 % leaves four or five; of 16, where it leaves a thousand. Common practice, no source. */
const LEAST_VALUES = { 8: 4, 16: 50 } as const;
/** A converter of 15 bits or fewer leaves out every other value of 16, or more; a tone curve on 16 leaves out fewer. */
const MOST_LEFT_OUT = 0.4;

/**
 * Whether a tone curve lies over one of two scans and not over the other, or another one. false where nothing tells: a curve that is laid over the
 * values before they are rounded leaves no comb.
 */
export function isOtherScale(a: ScaleUse, b: ScaleUse): boolean {
  if (a.bits !== b.bits) return false;
  const [one, other] = [against(a, b), against(b, a)];
  const least = LEAST_VALUES[a.bits];
  // A scan that was turned or brought to another size afterwards has values between those of its scale; its colours are right.
  if (a.bits === 8) return one + other >= least;
  return (one >= least && other >= least) || [a, b].some((scan, i) => [one, other][i] >= least && isSparse(scan));
}

/** How many values that another scan uses this one leaves out. */
function against(scan: ScaleUse, by: ScaleUse): number {
  let count = 0;
  scan.channels.forEach((use, c) => {
    for (let v = 0; v < use.length; v++) if (use[v] === USE.unused && by.channels[c][v] === USE.used) count++;
  });
  return count;
}

function isSparse({ channels }: ScaleUse): boolean {
  let [unused, seen] = [0, 0];
  for (const use of channels) {
    for (const one of use) {
      if (one === USE.unused) unused++;
      else if (one === USE.used) seen++;
    }
  }
  return unused < MOST_LEFT_OUT * (unused + seen);
}
