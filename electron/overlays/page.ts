/** Marks, boxes and the target's patches drawn on the page itself. */
import type { Point } from '../../analysis/raster/homography.ts';
import type { OverlayTask } from '../jobs/tasks.ts';
import type { Ground } from './ground.ts';
import { drawPageMarks } from './pageMarks.ts';
import { drawShapes } from './picture.ts';
import { type Place, regionBoxes } from './regionBoxes.ts';
import { stripMarks } from './stripMarks.ts';
import type { StripDrawing } from './stripPanel.ts';
import { targetMarks } from './targetMarks.ts';
import type { Rgb } from '../../analysis/colour/shown.ts';

/** @param scale pixels to a point. */
export async function drawPage(
  task: OverlayTask,
  ground: Ground,
  strips: readonly StripDrawing[],
  line: { readonly rgb: Rgb; readonly hex: string },
  scale: number,
): Promise<void> {
  const { widthPx, heightPx } = ground.picture;
  const page: Place = { x: 0, y: 0, width: widthPx / scale, height: heightPx / scale };
  const toPoints = ground.scale / scale;
  const toPage = ([x, y]: Point): Point => [x * toPoints, y * toPoints];
  let shapes = '';
  for (const { boxPx, result } of task.regions) {
    if (result?.marks) shapes += drawPageMarks(ground, { boxPx, marks: result.marks, dpi: task.dpi }, line, scale);
  }
  if (task.target) shapes += targetMarks(task.target, task.calibration, toPage, page);
  // On whole pixels a line is crisp.
  const crisp = (v: number): number => (Math.round(v * ground.scale) + 0.5) / scale;
  const boxes = task.regions.map(({ kind, boxPx: [x, y, w, h] }, i) => ({
    number: i + 1,
    dashed: kind === 'paper',
    x: crisp(x),
    y: crisp(y),
    width: crisp(x + w) - crisp(x),
    height: crisp(y + h) - crisp(y),
  }));
  shapes += regionBoxes(boxes, page, line.hex);
  for (const strip of strips) shapes += stripMarks(strip, boxes[strip.number - 1], line.hex);
  await drawShapes(ground.picture, shapes, { left: 0, top: 0, widthPx, heightPx }, scale);
}
