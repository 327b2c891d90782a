/** An A4 page at 600 dpi, 16 bit RGB, as a scanner would give it: uneven light, paper, lines of ink with soft edges, noise. */
import sharp from 'sharp';
import { seededRandom } from '../analysis/seededRandom.ts';

export const PAGE_WIDTH_PX = 4960;
export const PAGE_HEIGHT_PX = 7016;

/** Device values of bare paper and of the densest ink. */
const PAPER = [60200, 59400, 56800];
const INK = [7400, 11800, 31000];
const NOISE_SD = 350;
const LINE_PITCH_PX = 190;

/** Writes the page as an uncompressed TIFF. @param heightPx fewer rows make a quicker, smaller bench. */
export async function writePage(file: string, heightPx: number): Promise<void> {
  const data = pageSamples(heightPx);
  const raw = { width: PAGE_WIDTH_PX, height: heightPx, channels: 3 } as const;
  await sharp(data, { raw }).toColourspace('rgb16').withDensity(600).tiff({ compression: 'none' }).toFile(file);
}

export function pageSamples(heightPx: number): Uint16Array {
  const data = new Uint16Array(3 * PAGE_WIDTH_PX * heightPx);
  const noise = noiseTable();
  const random = seededRandom(600);
  for (let y = 0, i = 0; y < heightPx; y++) {
    const line = Math.floor(y / LINE_PITCH_PX);
    const down = y / heightPx;
    for (let x = 0, n = Math.floor(random() * 65536); x < PAGE_WIDTH_PX; x++, i += 3) {
      const across = x / PAGE_WIDTH_PX;
      const light = 0.97 + 0.05 * across - 0.04 * across * across + 0.02 * down;
      const ink = coverage(x, y - line * LINE_PITCH_PX, line);
      for (let k = 0; k < 3; k++, n++) {
        const value = light * (PAPER[k] + ink * (INK[k] - PAPER[k])) + noise[n & 65535];
        data[i + k] = value < 0 ? 0 : value > 65535 ? 65535 : value;
      }
    }
  }
  return data;
}

/** 0..1: a wavering pen line, 20 px wide, that shades along its way, with edges 4 px soft; every third line is a swab. */
function coverage(x: number, y: number, line: number): number {
  const shade = 0.75 + 0.25 * Math.sin(x / 170 + line);
  if (line % 3 === 2) return y > 30 && y < 160 ? shade : 0;
  const path = 95 + 45 * Math.sin(x / (23 + (line % 5)));
  const steep = Math.abs(Math.cos(x / (23 + (line % 5)))) * (45 / 23);
  const away = Math.abs(y - path) / Math.sqrt(1 + steep * steep);
  return away > 12 ? 0 : away < 8 ? shade : (shade * (12 - away)) / 4;
}

/** 65536 normal deviates, so that the noise has no short period. */
function noiseTable(): Float32Array {
  const random = seededRandom(1);
  return Float32Array.from(
    { length: 65536 },
    () => NOISE_SD * Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random()),
  );
}
