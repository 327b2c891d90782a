/** The shape of an edit as it comes from the window; what it means for a document is `applyEdit`'s. */
import { z } from 'zod';
import { fourPointsMm, regionSchema, scanDpi, sheetId } from '../sheet/sheetSchema.ts';

const text = z.string().trim().min(1);
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
  z.strictObject({ edit: z.literal('addRegion'), region: regionSchema }),
  z.strictObject({
    edit: z.literal('changeRegion'),
    id: sheetId,
    region: regionSchema,
    together: z.array(sheetId).min(2).exactOptional(),
  }),
  z.strictObject({ edit: z.literal('removeRegions'), ids: z.array(sheetId).min(1) }),
  z.strictObject({
    edit: z.literal('changeScan'),
    id: sheetId,
    change: z.strictObject({
      id: sheetId.exactOptional(),
      paper: text.nullable().exactOptional(),
      side: side.nullable().exactOptional(),
      of: sheetId.nullable().exactOptional(),
      dpi: scanDpi.nullable().exactOptional(),
    }),
  }),
  z.strictObject({ edit: z.literal('removeScan'), id: sheetId }),
  z.strictObject({ edit: z.literal('setTarget'), serves: sheetId, target: target.nullable() }),
  z.strictObject({
    edit: z.literal('changeInk'),
    name: text,
    maker: text.nullable(),
    claim: text.nullable().exactOptional(),
  }),
  z.strictObject({ edit: z.literal('addScans'), scans: z.array(scan).min(1) }),
]);

/** An edit whose shape is sound. */
export type CheckedEdit = z.infer<typeof editSchema>;
