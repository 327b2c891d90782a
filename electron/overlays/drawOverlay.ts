/** One picture per scan: where was measured, and what was found. */
import { compiled } from '../jobs/compiled.ts';
import type { OverlayTask } from '../jobs/tasks.ts';
import { compose } from './compose.ts';
import { readGround } from './ground.ts';
import { toPng } from './picture.ts';

/** PNG, 8-bit sRGB. */
export async function drawOverlay(task: OverlayTask): Promise<Buffer> {
  const calibration = compiled(task.calibration);
  const ground = await readGround(task.info, task.dpi, calibration);
  return toPng(await compose(task, ground, calibration));
}
