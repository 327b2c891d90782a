/** Where a target's patches lie: `wetline-target/1`, a JSON file. Lengths mm, x right, y down. */
import { z } from 'zod';
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { parseJson } from './jsonText.ts';
import { schemaMessage } from './schemaMessage.ts';
import { SheetError } from './sheetError.ts';
import { boxMm, fourPointsMm } from './sheetSchema.ts';

const positive = z.number().positive();
const text = z.string().trim().min(1);

const layoutSchema = z.strictObject({
  format: z.literal('wetline-target/1'),
  name: text,
  pointsMm: fourPointsMm,
  fiducial: z.strictObject({ shape: z.literal('disc'), radiusMm: positive, eyeMm: positive }).optional(),
  slantedEdge: z.strictObject({ boxMm }).optional(),
  patches: z
    .array(z.strictObject({ id: text, boxMm, grey: z.boolean().optional() }))
    .min(1)
    .max(5000),
});

/** @throws SheetError 'json-syntax', 'layout-invalid' */
export function parseLayout(source: string, fileName: string): TargetLayout {
  const value = parseJson(source, fileName);
  const checked = layoutSchema.safeParse(value);
  const refuse = (what: string) => new SheetError('layout-invalid', `${fileName}: ${what}`);
  if (!checked.success) throw refuse(schemaMessage(layoutSchema, value, checked.error));
  const { fiducial, slantedEdge, patches, ...rest } = checked.data;
  const twice = patches.find((p, i) => patches.findIndex((q) => q.id === p.id) < i);
  if (twice) throw refuse(`two patches are called "${twice.id}"; expected each id once. Rename one.`);
  if (!runClockwise(rest.pointsMm)) {
    throw refuse(
      `pointsMm ${JSON.stringify(rest.pointsMm)} do not run top left, top right, bottom right, bottom left ` +
        `(x right, y down). Put them in that order.`,
    );
  }
  if (fiducial && fiducial.eyeMm >= fiducial.radiusMm) {
    throw refuse(
      `fiducial.eyeMm ${fiducial.eyeMm} is no smaller than radiusMm ${fiducial.radiusMm}; both are radii and the eye lies inside. Correct one.`,
    );
  }
  return {
    ...rest,
    ...(fiducial && { fiducial }),
    ...(slantedEdge && { slantedEdge }),
    patches: patches.map(({ id, boxMm, grey }) => ({ id, boxMm, ...(grey !== undefined && { grey }) })),
  };
}

/** True when four points run clockwise as seen, and none lies inside the triangle of the others. */
export function runClockwise(points: readonly (readonly [number, number])[]): boolean {
  return points.every(([x, y], i) => {
    const [x1, y1] = points[(i + 1) % 4];
    const [x2, y2] = points[(i + 2) % 4];
    return (x1 - x) * (y2 - y1) - (y1 - y) * (x2 - x1) > 0;
  });
}
