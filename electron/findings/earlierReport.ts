/** An earlier report card, read back: what a later one is held against (`wetline calibrate --before`). */
import { basename } from 'node:path';
import { z } from 'zod';
import { termCount } from '../../analysis/calibrate/models.ts';
import { readText, whyUnreadable } from '../files/readText.ts';
import { parseJson } from '../sheet/jsonText.ts';
import { SheetError } from '../sheet/sheetError.ts';
import type { EarlierCalibration } from './driftReport.ts';

const text = z.string().nullable();
const numbers = z.array(z.number()).min(2);
const curve = z
  .object({ device: numbers, linear: numbers, exponent: z.number().positive(), flare: z.number() })
  .refine(({ device, linear }) => device.length === linear.length);
/** Only what drift asks for: other keys may come and go. */
const reportSchema = z.object({
  format: z.literal('wetline-calibration/1'),
  target: z.object({ layout: z.string() }),
  scan: z.object({
    bits: z.union([z.literal(8), z.literal(16)]),
    format: z.enum(['tiff', 'png', 'jpeg', 'webp']),
    icc: text,
    iccHash: text,
    scannedAt: text,
  }),
  scanner: z.object({ identity: z.object({ make: text, model: text, software: text }).nullable() }),
  map: z
    .object({
      model: z.enum(['linear', 'affine', 'rootPolynomial2', 'rootPolynomial3', 'nominal']),
      curves: z.tuple([curve, curve, curve]),
      matrix: z.array(z.array(z.number())).length(3),
    })
    .refine(({ model, matrix }) => matrix.every((row) => row.length === termCount(model)), { path: ['matrix'] }),
});

/** @throws SheetError 'report-missing', 'report-invalid' or 'json-syntax', in one line */
export async function earlierReport(file: string): Promise<EarlierCalibration> {
  const source = await readText(file).catch((error: unknown) => {
    const why = whyUnreadable(error);
    if (why === null) throw error;
    throw new SheetError(
      'report-missing',
      `${file}: ${why}; expected an earlier report (JSON), as "wetline calibrate --out" writes it. Check the name.`,
    );
  });
  const value = parseJson(source, file);
  const checked = reportSchema.safeParse(value);
  if (!checked.success) {
    throw new SheetError(
      'report-invalid',
      `${file}: ${faultOf(value, checked.error)}; expected an earlier report (wetline-calibration/1), as ` +
        `"wetline calibrate --out" writes it today. Make it anew from that target's scan.`,
    );
  }
  const { target, scan, scanner, map } = checked.data;
  const { bits, format, icc, iccHash, scannedAt } = scan;
  return {
    name: basename(file),
    at: scannedAt,
    map,
    scanner: scanner.identity,
    kind: { bits, format, icc, iccHash },
    layoutName: target.layout,
  };
}

function faultOf(value: unknown, { issues: [first] }: z.ZodError): string {
  const isObject = typeof value === 'object' && value !== null;
  if (!isObject || !('format' in value)) return 'no "format"';
  if (value.format !== 'wetline-calibration/1') return `"format" is ${JSON.stringify(value.format)}`;
  if (!('map' in value)) return 'no "map" of its colours (reports of earlier versions have none)';
  return `"${first.path.join('.')}" is missing or wrong`;
}
