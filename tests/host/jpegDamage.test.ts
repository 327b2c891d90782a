import sharp from 'sharp';
import { expect, test } from 'vitest';
import { isDamagedJpeg } from '../../electron/scans/jpegDamage.ts';
import { readScan } from '../../electron/scans/readScan.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { testFolder } from './folder.ts';

const folder = testFolder();
const [WIDTH, HEIGHT] = [203, 157];
const page = Uint8Array.from({ length: 3 * WIDTH * HEIGHT }, (_, i) => 215 + ((i * i * 31 + (i >> 3)) % 40));
const picture = sharp(page, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } });
const jpeg = (options: object): Promise<Buffer> => picture.clone().jpeg(options).toBuffer();

const DAMAGE = {
  'a block of zeros': (block: Buffer) => block.fill(0),
  'a block of ones': (block: Buffer) => block.fill(255),
  'a block of other values': (block: Buffer) => block.reverse(),
};

test.each(Object.entries(DAMAGE))('%s in the middle is refused at the door', async (_, damage) => {
  const content = await jpeg({ quality: 95, chromaSubsampling: '4:4:4' });
  const middle = content.length >> 1;
  damage(content.subarray(middle, middle + 512));
  await expect(scanInfo(folder.put('hole.jpg', content))).rejects.toMatchObject({
    code: 'scan-cut-short',
    message: expect.stringMatching(/\(its packed values do not end where its picture does\); expected a whole file/),
  });
});

test('the decoder itself would give other values without a word', async () => {
  const content = await jpeg({ quality: 95, chromaSubsampling: '4:4:4' });
  const info = await scanInfo(folder.put('whole.jpg', content));
  const whole = await readScan(info.file, null, 300, info);
  content.fill(0, content.length >> 1, (content.length >> 1) + 512);
  folder.put('whole.jpg', content);
  const damaged = await readScan(info.file, null, 300, info);
  expect(damaged.data.filter((value, i) => value !== whole.data[i]).length).toBeGreaterThan(page.length / 4);
});

test.each([1, 50, 75, 92, 100])('whole ones of quality %i are let in, however they are packed', async (quality) => {
  for (const chromaSubsampling of ['4:4:4', '4:2:0']) {
    for (const optimiseCoding of [true, false]) {
      for (const progressive of [true, false]) {
        const content = await jpeg({ quality, chromaSubsampling, optimiseCoding, progressive });
        expect(await isDamagedJpeg(folder.put('sound.jpg', content))).toBe(false);
      }
    }
  }
});

const segment = (marker: number, ...body: number[]): number[] => [0xff, marker, 0, body.length + 2, ...body];
/** One table of a single code, '0', for the symbol 0: of a block's first value and of its end. */
const codes = (name: number): number[] => segment(0xc4, name, 1, ...Array<number>(15).fill(0), 0);
const NAMES = [1, 2, 3];
const named = (names: readonly number[]): number[] => names.flatMap((name) => [name, 0]);
const scan = (names: readonly number[], data: readonly number[]): number[] => [
  ...segment(0xda, names.length, ...named(names), 0, 63, 0),
  ...data,
];
const STEPS = segment(0xdb, 0, ...Array<number>(64).fill(1));
const frameOf = (width: number, height: number, lightness = 0x11): number[] =>
  segment(0xc0, 8, 0, height, 0, width, 3, ...NAMES.flatMap((name) => [name, name === 1 ? lightness : 0x11, 0]));
const FRAME = frameOf(16, 16);
const framed = (frame: number[], ...scans: number[][]): Buffer =>
  Buffer.from([0xff, 0xd8, ...STEPS, ...frame, ...codes(0), ...codes(16), ...scans.flat(), 0xff, 0xd9]);
/** 16 × 16 pixels of one grey: four units of three blocks, a block two bits. */
const drawn = (...scans: number[][]): Buffer => framed(FRAME, ...scans);
/** Six bits of a unit, filled up with ones, then a marker. */
const restarted = (...numbers: number[]): number[] => [3, ...numbers.flatMap((number) => [0xff, 0xd0 + number, 3])];
/** Of 20 × 20 pixels with colours at half: lightness has 3 × 3 blocks, 18 bits, and each colour 2 × 2, 8 bits (T.81, A.2.2). */
const HALVED = frameOf(20, 20, 0x22);
const [NINE_BLOCKS, FOUR_BLOCKS] = [[0, 0, 0x3f], [0]];
/** Twelve units in a row. */
const LONG = frameOf(96, 8);
const TWELVE = Array.from({ length: 11 }, (_, i) => i % 8);
const other = Array.from({ length: 40 }, (_, i) => i + 1);
const later = (jpeg: Buffer): Buffer => {
  jpeg[jpeg.indexOf(Buffer.from([0xff, 0xc0])) + 6] = 0;
  return jpeg;
};
const interval = segment(0xdd, 0, 1);

test.each<[string, Buffer, boolean]>([
  ['all channels together', drawn(scan(NAMES, [0, 0, 0])), false],
  ['each channel by itself', drawn(...NAMES.map((name) => scan([name], [0]))), false],
  ['restarted after each unit', drawn([...interval, ...scan(NAMES, restarted(0, 1, 2))]), false],
  ['restarted out of turn', drawn([...interval, ...scan(NAMES, restarted(0, 2, 1))]), true],
  ['restarted after every unit of twelve', framed(LONG, interval, scan(NAMES, restarted(...TWELVE))), false],
  // Two units are 12 bits, filled up with ones.
  ['restarted after every second unit', drawn(segment(0xdd, 0, 2), scan(NAMES, [0, 15, 0xff, 0xd0, 0, 15])), false],
  ['a restart that is missing', drawn([...interval, ...scan(NAMES, restarted(0, 1))]), true],
  ['more before a restart than belongs there', drawn([...interval, ...scan(NAMES, [3, ...other, 255, 0xd0, 3])]), true],
  [
    'colours at half, each channel by itself',
    framed(HALVED, scan([1], NINE_BLOCKS), scan([2], FOUR_BLOCKS), scan([3], FOUR_BLOCKS)),
    false,
  ],
  ['colours at half, of which a block is missing', framed(HALVED, scan([1], NINE_BLOCKS), scan([2], [])), true],
  // Four units of six blocks, 48 bits.
  ['colours at half, all channels together', framed(HALVED, scan(NAMES, [0, 0, 0, 0, 0, 0])), false],
  ['colours at half, a byte less', framed(HALVED, scan(NAMES, [0, 0, 0, 0, 0])), true],
  ['ones before a part', drawn([255, 255], scan(NAMES, [0, 0, 0])), false],
  ['what is no part', drawn([0xfe, 0xff, 0, 2], scan(NAMES, [0])), false],
  ['a byte less', drawn(scan(NAMES, [0, 0])), true],
  ['a few bytes left over', drawn(scan(NAMES, [0, 0, 0, 0x5a, 0x3c])), false],
  ['32 bytes left over', drawn(scan(NAMES, [0, 0, 0, ...other.slice(0, 32)])), false],
  ['33 bytes left over', drawn(scan(NAMES, [0, 0, 0, ...other.slice(0, 33)])), true],
  ['many bytes left over', drawn(scan(NAMES, [0, 0, 0, ...other])), true],
  ['filled up with zeros', drawn(scan(NAMES, Array<number>(50).fill(0))), false],
  ['a height that is told later', later(drawn(scan(NAMES, [0, 0, 0]))), false],
  ['tables that it leaves to the decoder', Buffer.from([0xff, 0xd8, ...FRAME, ...scan(NAMES, [0]), 0xff, 0xd9]), false],
  [
    'a picture in a part of a program’s own',
    drawn(segment(0xe1, 0xff, 0xc0, 0xff, 0xd9), scan(NAMES, [0, 0, 0])),
    false,
  ],
  ['other pictures behind its end', Buffer.concat([drawn(scan(NAMES, [0, 0, 0])), drawn(scan(NAMES, [0]))]), false],
  ['filled up before the marker', drawn(scan(NAMES, [0, 0, 0, 255, 255])), false],
  ['a code that its table does not hold', drawn(scan(NAMES, [0, 128, 0])), true],
  ['such a code within a block', drawn(scan(NAMES, [64, 0, 0])), true],
])('%s', async (name, content, damaged) => {
  expect(await isDamagedJpeg(folder.put(`${name}.jpg`, content))).toBe(damaged);
});

test('12 bits are refused at the door', async () => {
  const content = await jpeg({});
  content[content.indexOf(Buffer.from([0xff, 0xc0])) + 4] = 12;
  await expect(scanInfo(folder.put('twelve.jpg', content))).rejects.toMatchObject({
    code: 'scan-depth',
    message: expect.stringContaining('12-bit values; expected whole numbers of 8 or 16 bits'),
  });
});
