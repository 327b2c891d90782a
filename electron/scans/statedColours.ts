/**
 * What a PNG without a profile says of its colours itself: the power that leads from its values to light, and its primaries.
 * Source: PNG specification, third edition, 11.3.2.1 (cHRM), 11.3.2.2 (gAMA), 11.3.2.5 (sRGB), and 4.3 for which of them leads.
 */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { powerCurve } from '../../analysis/calibrate/curveKnots.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { bradfordMatrix, inverse3, product3, times } from '../../analysis/colour/adapt.ts';
import { D50, type Xyz } from '../../analysis/colour/lab.ts';
import { EndsEarly, withBytes } from './fileBytes.ts';
import { pngChunks } from './pngChunks.ts';

type Chromaticity = readonly [x: number, y: number];

export interface StatedColours {
  /** Light is value^gamma. */
  readonly gamma: number;
  readonly white: Chromaticity;
  readonly primaries: readonly [red: Chromaticity, green: Chromaticity, blue: Chromaticity];
}

/** Those of sRGB, as its own section gives them: programs that do not know it are told of it in this way. */
const SRGB = { gamma: 45_455, chrm: [31_270, 32_900, 64_000, 33_000, 30_000, 60_000, 15_000, 6000] } as const;
/** Rec. ITU-T H.273: primaries 1, transfer 13, no matrix, full range. */
const SRGB_VIDEO = Buffer.from([1, 13, 0, 1]);
/** Any of these leads. */
const LEADING = ['cICP', 'iCCP', 'sRGB'];
/** Stored times this. */
const SCALE = 100_000;
/** What programs round. */
const CLOSE = 150;

export interface PngColours {
  /** null: none, or what sRGB is said in too, or no sense. */
  readonly stated: StatedColours | null;
  /** Whether it has a part for a profile; the image library keeps silent of one that it cannot read. */
  readonly hasProfile: boolean;
  /** Whether it states its colours by a video's code numbers (cICP), other than sRGB's own: they are not read here. */
  readonly asVideo: boolean;
}

export async function pngColours(file: string): Promise<PngColours> {
  const bodies = await colourParts(file);
  return {
    stated: statedBy(bodies),
    hasProfile: bodies.has('iCCP'),
    asVideo: bodies.has('cICP') && !bodies.get('cICP')?.equals(SRGB_VIDEO),
  };
}

async function colourParts(file: string): Promise<Map<string, Buffer>> {
  const bodies = new Map<string, Buffer>();
  try {
    await withBytes(file, async (read) => {
      for await (const { name, at, length } of pngChunks(read)) {
        if (name === 'IDAT') break;
        if (LEADING.includes(name) || ['gAMA', 'cHRM'].includes(name))
          bodies.set(name, await read(at, Math.min(length, 32)));
      }
    });
  } catch (error) {
    if (!(error instanceof EndsEarly)) throw error;
  }
  return bodies;
}

function statedBy(bodies: ReadonlyMap<string, Buffer>): StatedColours | null {
  const stored = bodies.get('gAMA');
  const power = stored?.length === 4 ? stored.readUInt32BE(0) : 0;
  if (LEADING.some((name) => bodies.has(name)) || !(power > 0.1 * SCALE && power < 10 * SCALE)) return null;
  const places = bodies.get('cHRM');
  const chrm = places?.length === 32 ? SRGB.chrm.map((_, i) => places.readUInt32BE(4 * i)) : SRGB.chrm;
  const isSrgb = [power - SRGB.gamma, ...chrm.map((v, i) => v - SRGB.chrm[i])].every((off) => Math.abs(off) <= CLOSE);
  if (isSrgb) return null;
  const [white, red, green, blue] = [0, 2, 4, 6].map((i): Chromaticity => [chrm[i] / SCALE, chrm[i + 1] / SCALE]);
  const stated = { gamma: SCALE / power, white, primaries: [red, green, blue] as const };
  return throughStated(stated).matrix.flat().every(Number.isFinite) ? stated : null;
}

/** Exact and 'nominal', as sRGB is: the file says what its values claim to be, not how a scanner sees. */
export function throughStated({ gamma, white, primaries }: StatedColours): Calibration {
  const curve = powerCurve(gamma);
  const columns = primaries.map(xyzOf);
  const full = [0, 1, 2].map((row) => columns.map((column) => column[row]));
  const shares = times(inverse3(full), xyzOf(white));
  const matrix = product3(
    bradfordMatrix(xyzOf(white), D50),
    full.map((row) => row.map((v, i) => v * shares[i])),
  );
  return { ...nominalCalibration, curves: [curve, curve, curve], matrix };
}

/** Of Y = 1. */
function xyzOf([x, y]: Chromaticity): Xyz {
  return [x / y, 1, (1 - x - y) / y];
}

/** 'a gamma of 1.80'; for the line that says through what colours came. */
export function statedWords({ gamma }: StatedColours): string {
  return `a gamma of ${gamma.toFixed(2)}`;
}
