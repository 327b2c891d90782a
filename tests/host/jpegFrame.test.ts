/** What a JPEG's headers say, segment by segment (ITU-T T.81, B.1.1 and B.2). */
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { EndsEarly, type ReadBytes } from '../../electron/scans/fileBytes.ts';
import { saysRgbInVain } from '../../electron/scans/jpegColours.ts';
import { isFrameHeader, jpegFrame, jpegTablesStep } from '../../electron/scans/jpegFrame.ts';

const readerOf =
  (bytes: Buffer): ReadBytes =>
  (offset, length) =>
    offset + length > bytes.length
      ? Promise.reject(new EndsEarly())
      : Promise.resolve(bytes.subarray(offset, offset + length));
const of = (...segments: readonly (readonly number[])[]) =>
  jpegFrame(readerOf(Buffer.from([0xff, 0xd8, ...segments.flat()])));
const segment = (marker: number, ...body: readonly number[]): number[] => {
  const length = body.length + 2;
  return [0xff, marker, length >> 8, length & 255, ...body];
};
const steps = (name: number, step: readonly number[]): number[] => [
  name,
  ...Array<readonly number[]>(64).fill(step).flat(),
];
const JFIF = [...Buffer.from('JFIF\0'), 1, 1, 0, 0, 1, 0, 1, 0, 0];
const ADOBE = [...Buffer.from('Adobe'), 0, 100, 0, 0, 0, 0];
const FRAME = [8, 0, 16, 0, 16, 3, 1, 0x22, 0, 2, 0x11, 1, 3, 0x11, 1];
/** The same with channels of these names. */
const named = (names: string): number[] =>
  FRAME.map((value, i) => (i < 6 || i % 3 > 0 ? value : names.charCodeAt(i / 3 - 2)));

test('the standard’s own table of lightness, of quality 50, has a mean step of 57.6', async () => {
  const page = sharp({ create: { width: 16, height: 16, channels: 3, background: '#888' } });
  const frame = await jpegFrame(readerOf(await page.jpeg({ quality: 50 }).toBuffer()));
  // T.81, table K.1: the 64 numbers sum up to 3688.
  expect(frame).toEqual({ precision: 8, sampling: [0x22, 0x11, 0x11], meanStep: 3688 / 64 });
});

test.each<[string, number[][], number]>([
  ['steps of 8 bits', [segment(0xdb, ...steps(0, [7]))], 7],
  ['steps of 16 bits', [segment(0xdb, ...steps(0x10, [1, 2]))], 258],
  ['two tables in one part', [segment(0xdb, ...steps(0, [7]), ...steps(1, [9]))], 7],
  ['colours’ table before lightness’', [segment(0xdb, ...steps(1, [9])), segment(0xdb, ...steps(0, [7]))], 7],
  ['colours’ table alone', [segment(0xdb, ...steps(1, [9]))], 0],
  ['a table that ends early', [segment(0xdb, ...steps(0, [7]).slice(0, -1))], 0],
  ['no table', [], 0],
])('%s', async (_, tables, meanStep) => {
  expect(await of(...tables, segment(0xc0, ...FRAME))).toEqual({
    precision: 8,
    sampling: [0x22, 0x11, 0x11],
    meanStep,
  });
});

test('tables of codes and a program’s own parts are no frames, also where they stand before it', async () => {
  const before = [0xc4, 0xc8, 0xcc, 0xe1, 0xfe].map((marker) => segment(marker, 12, 1, 2, 3, 4, 5));
  expect(await of(...before, segment(0xc2, ...FRAME))).toMatchObject({ precision: 8 });
  const frames = Array.from({ length: 256 }, (__, i) => 0xff00 + i).filter(isFrameHeader);
  // T.81, table B.1: SOF0 to SOF15 but for DHT, JPG and DAC.
  expect(frames.map((marker) => marker & 255)).toEqual([
    0xc0, 0xc1, 0xc2, 0xc3, 0xc5, 0xc6, 0xc7, 0xc9, 0xca, 0xcb, 0xcd, 0xce, 0xcf,
  ]);
});

test('a picture that begins without a frame, or what is no part, has none', async () => {
  const frame = segment(0xc0, ...FRAME);
  expect(await of(segment(0xda, 1, 1, 0, 0, 63, 0), frame)).toBeNull();
  expect(await of([0xfe, 0xff, 0, 4, 1, 2], frame)).toBeNull();
  expect(await of([0xff, 0xe1, 0, 1], frame)).toBeNull();
  expect(await of([0xff, 0xe1, 0, 2], frame)).toMatchObject({ precision: 8 });
  await expect(of(segment(0xe1, 1, 2))).rejects.toThrow(EndsEarly);
});

test('bytes that may stand between parts are passed over (B.1.1.2)', async () => {
  expect(await of([0xff, 0xff], segment(0xdb, ...steps(0, [7])), [0xff], segment(0xc0, ...FRAME))).toMatchObject({
    meanStep: 7,
  });
});

test.each<[string, number[][], number]>([
  ['lightness’ table', [segment(0xdb, ...steps(0, [7]))], 7],
  ['colours’ before it', [segment(0xdb, ...steps(1, [9])), segment(0xdb, ...steps(0, [7]))], 7],
  ['tables of codes alone', [segment(0xc4, 0, ...Array<number>(16).fill(0))], 0],
])('tables by themselves: %s', async (_, tables, step) => {
  const bytes = Buffer.from([0xff, 0xd8, ...tables.flat(), 0xff, 0xd9]);
  expect(await jpegTablesStep(readerOf(bytes))).toBe(step);
});

test.each<[string, boolean, number[][]]>([
  ['neither', false, [segment(0xc0, ...FRAME)]],
  ['RGB by its names', false, [segment(0xc0, ...named('RGB'))]],
  ['RGB by its names, beside JFIF', true, [segment(0xe0, ...JFIF), segment(0xc0, ...named('RGB'))]],
  [
    'RGB by its names, beside a part of another program',
    false,
    [segment(0xe0, 74, 70), segment(0xc0, ...named('RGB'))],
  ],
  ['RGB by Adobe’s part', false, [segment(0xee, ...ADOBE, 0), segment(0xc0, ...FRAME)]],
  [
    'RGB by Adobe’s part, beside JFIF',
    true,
    [segment(0xe0, ...JFIF), segment(0xee, ...ADOBE, 0), segment(0xc0, ...FRAME)],
  ],
  ['YCbCr by both', false, [segment(0xe0, ...JFIF), segment(0xee, ...ADOBE, 1), segment(0xc0, ...FRAME)]],
  ['RGB by its names, YCbCr by Adobe’s part', true, [segment(0xee, ...ADOBE, 1), segment(0xc0, ...named('RGB'))]],
  [
    'one channel',
    false,
    [segment(0xe0, ...JFIF), segment(0xee, ...ADOBE, 0), segment(0xc0, 8, 0, 9, 0, 9, 1, 1, 0x11, 0)],
  ],
])('headers of which one says RGB and another YCbCr: %s', async (_, told, parts) => {
  expect(await saysRgbInVain(readerOf(Buffer.from([0xff, 0xd8, ...parts.flat()])))).toBe(told);
});
