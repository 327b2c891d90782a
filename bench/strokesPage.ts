/** A page of nothing but written lines, with twelve regions of strokes: what measuring a whole page of nibs costs. */
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import { seededRandom } from '../analysis/seededRandom.ts';
import { PAGE_HEIGHT_PX, PAGE_WIDTH_PX } from './page.ts';

const PAPER = [60200, 59400, 56800];
const INK = [7400, 11800, 31000];
const NOISE_SD = 350;
const LINE_PITCH_PX = 190;
const MM = 25.4 / 600;
const COLUMNS = 2;
const ROWS = 6;
export function strokesRegions(share: number): number {
  return COLUMNS * Math.max(1, Math.round(ROWS * share));
}

/**
 * Writes the page and a sheet that names its regions, as many as are asked for. @returns the sheet's file
 * @param share of the page that is written and measured, from its top: 1, 1/2, 1/4
 */
export async function writeStrokesSheet(folder: string, share: number): Promise<string> {
  const heightPx = Math.round(PAGE_HEIGHT_PX * share);
  const file = `strokes-${share}.tif`;
  const raw = { width: PAGE_WIDTH_PX, height: heightPx, channels: 3 } as const;
  await sharp(strokesSamples(heightPx), { raw })
    .toColourspace('rgb16')
    .withDensity(600)
    .tiff({ compression: 'none' })
    .toFile(join(folder, file));
  const rows = Math.max(1, Math.round(ROWS * share));
  const [width, height] = [(PAGE_WIDTH_PX * MM) / COLUMNS, (heightPx * MM) / rows];
  const regions = Array.from({ length: COLUMNS * rows }, (_, n) => ({
    id: `nib-${n + 1}`,
    scan: 'page',
    kind: 'strokes',
    nib: `N${n + 1}`,
    nibWidthMm: 0.7,
    boxMm: [(n % COLUMNS) * width + 1, Math.floor(n / COLUMNS) * height + 1, width - 2, height - 2],
  }));
  const sheet = {
    format: 'wetline-sheet/1',
    ink: { name: 'Lines of a bench' },
    scans: [{ id: 'page', file, dpi: 600, paper: 'white' }],
    regions,
  };
  const path = join(folder, `strokes-${share}.json`);
  await writeFile(path, JSON.stringify(sheet));
  return path;
}

function strokesSamples(heightPx: number): Uint16Array {
  const data = new Uint16Array(3 * PAGE_WIDTH_PX * heightPx);
  const random = seededRandom(601);
  const noise = Float32Array.from(
    { length: 65536 },
    () => NOISE_SD * Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random()),
  );
  for (let y = 0, i = 0; y < heightPx; y++) {
    const line = Math.floor(y / LINE_PITCH_PX);
    for (let x = 0, n = Math.floor(random() * 65536); x < PAGE_WIDTH_PX; x++, i += 3) {
      const ink = coverage(x, y - line * LINE_PITCH_PX, line);
      for (let k = 0; k < 3; k++, n++) {
        data[i + k] = Math.min(65535, Math.max(0, PAPER[k] + ink * (INK[k] - PAPER[k]) + noise[n & 65535]));
      }
    }
  }
  return data;
}

/** 0..1: a wavering line as of a pen, some 17 px wide with edges 4 px soft, that shades along its way and lifts now and then. */
function coverage(x: number, y: number, line: number): number {
  const wave = 23 + (line % 5);
  if ((x + 97 * line) % 700 > 640) return 0;
  const path = 95 + 45 * Math.sin(x / wave);
  const steep = Math.abs(Math.cos(x / wave)) * (45 / wave);
  const away = Math.abs(y - path) / Math.sqrt(1 + steep * steep);
  const shade = 0.75 + 0.25 * Math.sin(x / 170 + line);
  return away > 11 ? 0 : away < 7 ? shade : (shade * (11 - away)) / 4;
}
