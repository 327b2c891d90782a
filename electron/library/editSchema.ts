/** The shape of an edit as it comes from the window; what it means for a document is `applyEdit`'s. */
import { z } from 'zod';
import { NAME_MOST } from '../../analysis/report/nameLength.ts';
import { fourPointsMm, regionSchema, scanDpi, sheetId, text } from '../sheet/sheetSchema.ts';

/** What a person types; a sheet's own names may be longer. */
const name = text.max(NAME_MOST);
const region = regionSchema.superRefine((typed, context) => {
  for (const key of ['id', 'nib', 'paper']) {
    const value: unknown = Reflect.get(typed, key);
    if (typeof value !== 'string' || value.length <= NAME_MOST) continue;
    context.addIssue({
      code: 'too_big',
      origin: 'string',
      maximum: NAME_MOST,
      inclusive: true,
      path: [key],
      input: value,
    });
  }
});
const hash = z.string().regex(/^[0-9a-f]{64}$/, 'a SHA-256 in hexadecimal');

const target = z.strictObject({
  scan: sheetId,
  layout: hash,
  reference: hash,
  pointsMm: fourPointsMm.exactOptional(),
  white: sheetId.exactOptional(),
});
const side = z.enum(['front', 'back']);
const scan = z.strictObject({
  id: sheetId,
  hash,
  name: text,
  paper: text.exactOptional(),
  side: side.exactOptional(),
  of: sheetId.exactOptional(),
  dpi: scanDpi.exactOptional(),
  target: target.exactOptional(),
});

export const editSchema = z.discriminatedUnion('edit', [
  z.strictObject({ edit: z.literal('addRegion'), region, proposed: z.literal(true).exactOptional() }),
  z.strictObject({
    edit: z.literal('changeRegion'),
    id: sheetId,
    region,
    from: regionSchema.exactOptional(),
    together: z.array(sheetId).min(2).exactOptional(),
  }),
  z.strictObject({
    edit: z.literal('removeRegions'),
    ids: z.array(sheetId).min(1),
    from: z.array(regionSchema.nullable()).exactOptional(),
  }),
  z.strictObject({
    edit: z.literal('changeScan'),
    id: sheetId,
    change: z.strictObject({
      id: sheetId.max(NAME_MOST).exactOptional(),
      paper: name.nullable().exactOptional(),
      side: side.nullable().exactOptional(),
      of: sheetId.nullable().exactOptional(),
      dpi: scanDpi.nullable().exactOptional(),
    }),
    from: z
      .strictObject({
        id: sheetId.exactOptional(),
        paper: text.nullable().exactOptional(),
        side: side.nullable().exactOptional(),
        of: sheetId.nullable().exactOptional(),
        dpi: scanDpi.nullable().exactOptional(),
      })
      .exactOptional(),
  }),
  z.strictObject({
    edit: z.literal('removeScan'),
    id: sheetId,
    from: z
      .strictObject({
        id: sheetId,
        paper: text.nullable(),
        side,
        of: sheetId.nullable(),
        dpi: scanDpi.nullable(),
        target: target.nullable(),
        regions: z.array(regionSchema),
      })
      .exactOptional(),
  }),
  z.strictObject({
    edit: z.literal('setTarget'),
    serves: sheetId,
    target: target.nullable(),
    from: target.nullable().exactOptional(),
  }),
  z.strictObject({
    edit: z.literal('changeInk'),
    name,
    maker: name.nullable(),
    claim: name.nullable().exactOptional(),
    from: z.strictObject({ name: text, maker: text.nullable(), claim: text.nullable() }).exactOptional(),
  }),
  z.strictObject({ edit: z.literal('addScans'), scans: z.array(scan).min(1) }),
]);

/** An edit whose shape is sound. */
export type CheckedEdit = z.infer<typeof editSchema>;
