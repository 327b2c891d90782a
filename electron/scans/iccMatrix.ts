/** An ICC profile that is curves and a matrix, read exactly. Source: ICC.1:2010, 8.3.3 and 10.5, 10.15, 10.31; Annex F.3. */
import { curveKnots, powerCurve } from '../../analysis/calibrate/curveKnots.ts';
import type { ToneCurve } from '../../analysis/calibrate/calibration.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { D50, labD50, type Xyz, xyzToLab } from '../../analysis/colour/lab.ts';

export interface IccMatrix {
  /** Device 0..1 → linear, for red, green, blue. */
  readonly curves: readonly [ToneCurve, ToneCurve, ToneCurve];
  /** Rows X, Y, Z (D50, Y = 1 for the profile's white) × red, green, blue. */
  readonly matrix: readonly (readonly number[])[];
  /** Its class is that of input devices; else a display or a space to work in. */
  readonly ofScanner: boolean;
}

/** White of the profile connection space; where ours differs in the fifth digit, the profile's white stays white. */
const PCS_WHITE: Xyz = [0.9642, 1, 0.8249];
/** Where one of these is there, it leads and the matrix is only for readers without tables. */
const TABLES = ['A2B0', 'A2B1', 'D2B0', 'D2B1'];

/** As for a table (tableFit.ts): from its black to its white, in L*. */
const LEAST_RANGE = 50;
/** A display's white is the connection space's by definition; profiles round it to within a tenth. ΔE00. */
const WHITE_OFF = 3;
/** A scanner's full scale may be another light than white, and lighter: common practice, no source. */
const SCANNER_WHITE = { chroma: 60, L: 170 } as const;

/**
 * Whether black is dark and white is white through it, as through no damaged or badly written profile: primaries of nothing or below it, curves that
 * fall or stand, a display's white that was left at its own D65.
 */
export function hasSoundWhite({ curves, matrix, ofScanner }: IccMatrix): boolean {
  const [black, white] = [0, -1].map((end) => {
    const signal = curves.map(({ linear }) => linear.at(end) ?? Number.NaN);
    const [X, Y, Z] = matrix.map((row) => row.reduce((sum, v, i) => sum + v * signal[i], 0));
    return xyzToLab([X, Y, Z]);
  });
  const [L, a, b] = white;
  if (!(L - black[0] > LEAST_RANGE)) return false;
  if (ofScanner) return L < SCANNER_WHITE.L && Math.hypot(a, b) < SCANNER_WHITE.chroma;
  return deltaE2000(white, labD50(100, 0, 0)) < WHITE_OFF;
}

/** null: it is a table, not one for RGB, or damaged. */
export function iccMatrix(profile: Uint8Array): IccMatrix | null {
  const bytes = Buffer.from(profile.buffer, profile.byteOffset, profile.byteLength);
  if (bytes.length < 132 || bytes.toString('latin1', 36, 40) !== 'acsp') return null;
  if (bytes.toString('latin1', 16, 24) !== 'RGB XYZ ') return null;
  const tags = tagsOf(bytes);
  if (tags === null || TABLES.some((name) => tags.has(name))) return null;
  const columns = ['rXYZ', 'gXYZ', 'bXYZ'].map((name) => xyzOf(tags.get(name)));
  const [r, g, b] = ['rTRC', 'gTRC', 'bTRC'].map((name) => tags.get(name));
  const red = curveOf(r);
  // Most profiles have one curve for all three; finding its knots takes longest here.
  const green = r && g?.equals(r) ? red : curveOf(g);
  const blue = r && b?.equals(r) ? red : curveOf(b);
  if (red === null || green === null || blue === null) return null;
  const matrix = [0, 1, 2].map((row) =>
    columns.map((column) => (column === null ? Number.NaN : (column[row] * D50[row]) / PCS_WHITE[row])),
  );
  if (!matrix.flat().every(Number.isFinite)) return null;
  return { curves: [red, green, blue], matrix, ofScanner: bytes.toString('latin1', 12, 16) === 'scnr' };
}

function tagsOf(bytes: Buffer): Map<string, Buffer> | null {
  const tags = new Map<string, Buffer>();
  const count = bytes.readUInt32BE(128);
  for (let i = 0; i < count; i++) {
    const at = 132 + 12 * i;
    if (at + 12 > bytes.length) return null;
    const [from, size] = [bytes.readUInt32BE(at + 4), bytes.readUInt32BE(at + 8)];
    if (from + size <= bytes.length) tags.set(bytes.toString('latin1', at, at + 4), bytes.subarray(from, from + size));
  }
  return tags;
}

function xyzOf(tag: Buffer | undefined): Xyz | null {
  if (!tag || tag.length < 20 || tag.toString('latin1', 0, 4) !== 'XYZ ') return null;
  return [fixed(tag, 8), fixed(tag, 12), fixed(tag, 16)];
}

/** s15Fixed16. */
function fixed(tag: Buffer, at: number): number {
  return tag.readInt32BE(at) / 65536;
}

function curveOf(tag: Buffer | undefined): ToneCurve | null {
  if (!tag || tag.length < 12) return null;
  const type = tag.toString('latin1', 0, 4);
  if (type === 'curv') return sampledCurve(tag);
  return type === 'para' ? parametricCurve(tag) : null;
}

function sampledCurve(tag: Buffer): ToneCurve | null {
  const count = tag.readUInt32BE(8);
  if (tag.length < 12 + 2 * count) return null;
  if (count === 0) return powerCurve(1);
  if (count === 1) return positivePower(tag.readUInt16BE(12) / 256);
  return curveKnots((device) => {
    const at = device * (count - 1);
    const cell = Math.min(count - 2, Math.floor(at));
    const [low, high] = [tag.readUInt16BE(12 + 2 * cell), tag.readUInt16BE(14 + 2 * cell)];
    return (low + (at - cell) * (high - low)) / 65535;
  });
}

/** Parameters of each function type, table 65 of the standard: g, a, b, c, d, e, f. */
const PARAMETERS = [1, 3, 4, 5, 7];

function parametricCurve(tag: Buffer): ToneCurve | null {
  const type = tag.readUInt16BE(8);
  const count = PARAMETERS.at(type);
  if (count === undefined || tag.length < 12 + 4 * count) return null;
  const [g, a = 1, b = 0, c = 0, d = 0, e = 0, f = 0] = Array.from({ length: count }, (_, i) => fixed(tag, 12 + 4 * i));
  const power = (x: number): number => Math.max(0, a * x + b) ** g;
  switch (type) {
    case 0:
      return positivePower(g);
    case 1:
      return sound((x) => (a * x + b >= 0 ? power(x) : 0));
    case 2:
      return sound((x) => (a * x + b >= 0 ? power(x) + c : c));
    case 3:
      return sound((x) => (x >= d ? power(x) : c * x));
    default:
      return sound((x) => (x >= d ? power(x) + e : c * x + f));
  }
}

function positivePower(gamma: number): ToneCurve | null {
  return gamma > 0.1 && gamma < 10 ? powerCurve(gamma) : null;
}

function sound(signal: (device: number) => number): ToneCurve | null {
  const curve = curveKnots(signal);
  return curve.linear.every((v) => Number.isFinite(v) && Math.abs(v) < 100) ? curve : null;
}
