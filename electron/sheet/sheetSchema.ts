/** The shape of a sheet file, `wetline-sheet/1`. Lengths mm, boxes from the scan's top left corner, x right and y down. */
import { z } from 'zod';

/** What a person writes. The library's database ends a text at a NUL, and keeps no half of a letter (a lone surrogate). */
export const text = z
  .string()
  .trim()
  .min(1)
  .regex(/^[^\0\p{Cs}]+$/u, 'text without NUL characters and halves of letters');
const fileName = z
  .string()
  .trim()
  .min(1)
  .regex(/^[^\0]+$/, 'a file name without NUL characters');
const positive = z.number().positive();
const distance = z.number().nonnegative();

/** More than any file's name has, after which scans are called. */
const ID_MOST = 300;

/** Ids become parts of messages, addresses, file names and findings: no slashes, quotes or line ends, and not what names a folder. */
export const sheetId = text
  .max(ID_MOST)
  .regex(/^[^/\\";\r\n\t]+$/, 'an id without slashes, quotes, semicolons or line ends')
  .regex(/^(?!\.\.?$)/, 'an id that is more than dots');

/** mm; no bed is as large, and what is counted in pixels of it must stay a number that memory can hold. */
const placeMm = z.number().min(-10_000).max(10_000);
const pointMm = z.tuple([placeMm, placeMm]);
export const fourPointsMm = z.tuple([pointMm, pointMm, pointMm, pointMm]);
export const boxMm = z.tuple([z.number(), z.number(), positive, positive]);

export const scanDpi = positive.max(20_000);

const direction = z.enum(['up', 'down', 'left', 'right']);

const targetFiles = {
  layout: fileName,
  reference: fileName,
  white: fileName.optional(),
  pointsMm: fourPointsMm.optional(),
};
const sheetTarget = z.strictObject({ scan: fileName, ...targetFiles });
const scanTarget = z.strictObject({ scan: fileName.optional(), ...targetFiles });

const scan = z.strictObject({
  id: sheetId,
  file: fileName,
  paper: text.exactOptional(),
  side: z.enum(['front', 'back']).exactOptional(),
  of: sheetId.exactOptional(),
  dpi: scanDpi.exactOptional(),
  target: scanTarget.optional(),
});

/** mm; a width beyond that was typed in micrometres, and `spread` would be told against it. */
const toolWidthMm = positive.max(100);
/** What drew the ink; its name pairs samples with each other. */
const pen = { nib: text.optional(), nibWidthMm: toolWidthMm.optional() };
const anyRegion = { id: sheetId, scan: sheetId, boxMm: boxMm.optional(), paper: text.optional() };

/** R_F; beyond the front only what the ends err by. */
const rF = z.number().min(0).max(1.02);
/** A person's word on a strip's bands: one is there, none is, or it is one dye with the band at another place. */
const bandByHand = z.union(
  [z.strictObject({ rF, removed: z.literal(true).optional() }), z.strictObject({ rF, with: rF })],
  'one of { "rF": 0.42 }, { "rF": 0.42, "removed": true } and { "rF": 0.42, "with": 0.5 }',
);

/** A region of any kind, by itself. */
export const regionSchema = z.discriminatedUnion('kind', [
  z.strictObject({ ...anyRegion, kind: z.literal('paper') }),
  z.strictObject({ ...anyRegion, ...pen, kind: z.literal('strokes') }),
  z.strictObject({ ...anyRegion, ...pen, kind: z.literal('swab') }),
  z.strictObject({ ...anyRegion, ...pen, kind: z.literal('bar') }),
  z.strictObject({
    ...anyRegion,
    kind: z.literal('strip'),
    run: z.enum(['fresh', 'dried']).optional(),
    originMm: distance.optional(),
    frontMm: distance.optional(),
    travel: direction.optional(),
    runS: positive.optional(),
    liquid: text.optional(),
    temperatureC: z.number().min(-5).max(100).optional(),
    bands: z.array(bandByHand).optional(),
  }),
  z.strictObject({
    ...anyRegion,
    ...pen,
    kind: z.literal('hatch'),
    agent: text.optional(),
    state: z.enum(['before', 'after']).optional(),
    of: sheetId.optional(),
  }),
  z.strictObject({ ...anyRegion, ...pen, kind: z.literal('swipe'), direction: direction.optional() }),
  z.strictObject({
    ...anyRegion,
    kind: z.literal('reverse'),
    of: sheetId.optional(),
    page: z.enum(['back', 'next']).optional(),
  }),
]);

const bench = z.strictObject({
  drying: z.array(z.strictObject({ paper: text, nib: text.optional(), seconds: z.array(positive).min(1) })).optional(),
  flow: z
    .array(
      z.strictObject({
        temperatureC: z.number().min(-5).max(100),
        effluxS: positive,
        waterEffluxS: positive,
        densityGPerMl: positive.optional(),
      }),
    )
    .optional(),
});

/** More are no evening's work but a slip of what wrote the file, and every one is held against every other. */
const MOST_ENTRIES = 5000;

export const sheetSchema = z.strictObject({
  format: z.literal('wetline-sheet/1'),
  ink: z.strictObject({ name: text, maker: text.exactOptional(), claim: text.exactOptional() }).optional(),
  target: sheetTarget.optional(),
  scans: z.array(scan).max(MOST_ENTRIES).default([]),
  regions: z.array(regionSchema).max(MOST_ENTRIES).default([]),
  bench: bench.optional(),
});

export type Sheet = z.infer<typeof sheetSchema>;
export type SheetRegion = Sheet['regions'][number];
export type SheetTarget = z.infer<typeof scanTarget>;
