/** Strip tasks carried out. Runs in a worker. */
import sharp from 'sharp';
import { linearise, signalsToXyz } from '../../analysis/calibrate/apply.ts';
import { xyzToSrgb8Array } from '../../analysis/colour/srgbArrays.ts';
import { INK_MARKS } from '../../analysis/measure/ink.ts';
import { dyesOfWriting } from '../../analysis/measure/strip/dyesOfWriting.ts';
import { proposeStrips } from '../../analysis/measure/strip/proposeStrips.ts';
import { seeStrip } from '../../analysis/measure/strip/seeStrip.ts';
import { straightPicture } from '../../analysis/measure/strip/straightPicture.ts';
import { STRIP_DEFAULTS } from '../../analysis/measure/strip/strip.ts';
import { unmixStrip } from '../../analysis/measure/strip/unmix.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { compiled } from './compiled.ts';
import { linearBox, scanBands } from './scanBands.ts';
import type {
  DyesAlongResult,
  DyesAlongTask,
  DyesOverResult,
  DyesOverTask,
  ProposeResult,
  ProposeTask,
  StraightResult,
  StraightTask,
} from './stripTasks.ts';

/** As long as a strip is on a large screen, and no finer. */
const MOST_LONG_PX = 2400;
/** Strips are told from the bed in half millimetres; noise averages out on the way. */
const PROPOSE_DPI = 100;

export async function straightStrip(task: StraightTask): Promise<StraightResult> {
  const { info, dpi, boxPx, travel, originMm, frontMm } = task;
  const calibration = compiled(task.calibration);
  const signal = await linearBox(info, dpi, boxPx, calibration);
  const seen = seeStrip({ signal, travel, originMm, frontMm }, STRIP_DEFAULTS);
  if (seen === null) return { png: null };
  const along = travel === 'left' || travel === 'right' ? boxPx[2] : boxPx[3];
  const { data, widthPx, heightPx } = straightPicture(seen, (along * 25.4) / dpi, MOST_LONG_PX);
  signalsToXyz(data, calibration, data);
  const rgb = new Uint8Array(data.length);
  xyzToSrgb8Array(data, rgb);
  const picture = sharp(rgb, { raw: { width: widthPx, height: heightPx, channels: 3 } });
  return { png: await picture.png({ compressionLevel: 3 }).toBuffer() };
}

export async function stripsOnScan({ info, dpi, boxPx, calibration }: ProposeTask): Promise<ProposeResult> {
  const cell = Math.max(1, Math.round(dpi / PROPOSE_DPI));
  const way = compiled(calibration);
  const [widthPx, heightPx] = [Math.floor(boxPx[2] / cell), Math.floor(boxPx[3] / cell)];
  if (widthPx === 0 || heightPx === 0) return { strips: [] };
  const data = new Float32Array(3 * widthPx * heightPx);
  for await (const band of scanBands(info, dpi, boxPx, cell)) {
    const light = linearise(band, way);
    const top = Math.floor((band.originPx[1] - boxPx[1]) / cell);
    for (let y = 0; y < band.heightPx; y++) {
      const row = top + Math.floor(y / cell);
      if (row >= heightPx) break;
      for (let x = 0; x < widthPx * cell; x++) {
        const to = 3 * (row * widthPx + Math.floor(x / cell));
        const from = 3 * (y * band.widthPx + x);
        for (let c = 0; c < 3; c++) data[to + c] += light.data[from + c] / cell ** 2;
      }
    }
  }
  const clipped = new Uint8Array(widthPx * heightPx);
  const scan: LinearRaster = { data, widthPx, heightPx, dpi: dpi / cell, originPx: [0, 0], clipped };
  return { strips: proposeStrips(scan) };
}

export function dyesAlong({ dyes, law, profile }: DyesAlongTask): DyesAlongResult {
  return { along: unmixStrip(dyes, { law, profile }) };
}

export async function dyesOver({ info, dpi, boxPx, calibration: by, ...task }: DyesOverTask): Promise<DyesOverResult> {
  const calibration = compiled(by);
  const signal = await linearBox(info, dpi, boxPx, calibration);
  const outside: readonly number[] = [INK_MARKS.none, INK_MARKS.halo, INK_MARKS.hair];
  const inked = task.marks.map((mark) => (outside.includes(mark) ? 0 : 1));
  const { dyes, toldBy, haloMm } = task;
  return { over: dyesOfWriting({ signal, calibration, inked, dyes, toldBy, haloMm }) };
}
