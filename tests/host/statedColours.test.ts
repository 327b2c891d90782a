import { expect, test } from 'vitest';
import { bradfordMatrix, product3 } from '../../analysis/colour/adapt.ts';
import { D50 } from '../../analysis/colour/lab.ts';
import { srgbToXyzD50 } from '../../analysis/colour/srgb.ts';
import { readScan } from '../../electron/scans/readScan.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { pngColours, throughStated } from '../../electron/scans/statedColours.ts';
import { uncalibratedBy } from '../../electron/scans/uncalibrated.ts';
import { drawIcc } from './drawIcc.ts';
import { drawPng } from './drawPng.ts';
import { testFolder } from './folder.ts';

const folder = testFolder();
const samples = Uint8Array.from({ length: 3 * 20 * 10 }, (_, i) => (i * 37) % 256);
const numbers = (...values: number[]): Buffer => {
  const body = Buffer.alloc(4 * values.length);
  values.forEach((value, i) => body.writeUInt32BE(value, 4 * i));
  return body;
};
const page = (parts: Record<string, Buffer>, icc?: Uint8Array): string =>
  folder.put('page.png', drawPng({ widthPx: 20, heightPx: 10, samples, parts, ...(icc && { icc }) }));

const gAMA = numbers(55_556);
/** ITU-R BT.2020, table 3. */
const BT2020 = numbers(31_270, 32_900, 70_800, 29_200, 17_000, 79_700, 13_100, 4600);
/** ITU-R BT.709, as the PNG specification writes them for sRGB. */
const BT709 = numbers(31_270, 32_900, 64_000, 33_000, 30_000, 60_000, 15_000, 6000);

test('a PNG that states its colours is read through them, its values as they are', async () => {
  const info = await scanInfo(page({ gAMA, cHRM: BT2020 }));
  expect(info.notes).toEqual(['it has no profile, but states a gamma of 1.80 (gAMA)']);
  expect(info.icc).toBeNull();
  expect(info.stated).toEqual({
    gamma: expect.closeTo(1.8, 4),
    white: [0.3127, 0.329],
    primaries: [[0.708, 0.292], [0.17, 0.797], [0.131, 0.046]], // prettier-ignore
  });
  const { calibration, by, words } = await uncalibratedBy(info);
  expect([by, words]).toEqual(['profile', 'through a gamma of 1.80, which it states']);
  expect(calibration.curves.map(({ exponent }) => exponent.toFixed(3))).toEqual(['1.800', '1.800', '1.800']);
  expect((await readScan(info.file, null, 300, info)).data).toEqual(samples);
  const other = await scanInfo(page({ gAMA: numbers(50_000), cHRM: BT2020 }));
  expect(other.iccHash).not.toBe(info.iccHash);
});

/** ITU-R BT.709, table 3, and BT.2020, table 4: primaries, white, and the luminance of each primary. */
const PUBLISHED = [
  ['BT.709', [0.64, 0.33, 0.3, 0.6, 0.15, 0.06], [0.2126, 0.7152, 0.0722]],
  ['BT.2020', [0.708, 0.292, 0.17, 0.797, 0.131, 0.046], [0.2627, 0.678, 0.0593]],
] as const;
const WHITE = [0.3127, 0.329] as const;

test.each(PUBLISHED)('%s: its primaries have the published luminances', (_, [rx, ry, gx, gy, bx, by], luminances) => {
  const primaries = [[rx, ry], [gx, gy], [bx, by]] as const; // prettier-ignore
  const { matrix } = throughStated({ gamma: 1, white: WHITE, primaries });
  const [x, y] = WHITE;
  const back = product3(bradfordMatrix(D50, [x / y, 1, (1 - x - y) / y]), matrix);
  back[1].forEach((v, i) => expect(v).toBeCloseTo(luminances[i], 4));
});

test('a grey’s values lead to the neutral of their power, and sRGB’s primaries to sRGB', () => {
  const primaries = [[0.64, 0.33], [0.3, 0.6], [0.15, 0.06]] as const; // prettier-ignore
  const { matrix } = throughStated({ gamma: 1.8, white: WHITE, primaries });
  matrix.forEach((row, i) => expect(row.reduce((sum, v) => sum + v, 0)).toBeCloseTo(D50[i], 9));
  const srgb = [srgbToXyzD50(1, 0, 0), srgbToXyzD50(0, 1, 0), srgbToXyzD50(0, 0, 1)];
  matrix.forEach((row, i) => row.forEach((v, j) => expect(v).toBeCloseTo(srgb[j][i], 6)));
});

test.each<[string, Record<string, Buffer>, Uint8Array?]>([
  ['nothing', {}],
  ['sRGB’s own power', { gAMA: numbers(45_455) }],
  ['sRGB’s own power and primaries', { gAMA: numbers(45_455), cHRM: BT709 }],
  ['sRGB’s own power, rounded otherwise', { gAMA: numbers(45_455 - 140), cHRM: BT709 }],
  ['a power below all sense', { gAMA: numbers(9000), cHRM: BT2020 }],
  ['a power beyond all sense', { gAMA: numbers(1_100_000), cHRM: BT2020 }],
  ['sRGB beside another power', { sRGB: Buffer.alloc(1), gAMA }],
  ['a profile beside it', { gAMA }, drawIcc('a space')],
  ['primaries alone', { cHRM: BT2020 }],
  ['a power of nothing', { gAMA: numbers(0) }],
  ['primaries of nothing', { gAMA, cHRM: numbers(0, 0, 0, 0, 0, 0, 0, 0) }],
  ['a power that is cut off', { gAMA: Buffer.alloc(2, 1) }],
  ['primaries that are one', { gAMA, cHRM: numbers(31_270, 32_900, 3, 3, 3, 3, 3, 3) }],
])('%s: it is read as before', async (_, parts, icc) => {
  const file = page(parts, icc);
  expect((await pngColours(file)).stated).toBeNull();
  expect((await scanInfo(file)).stated).toBeUndefined();
});

test.each<[string, Record<string, Buffer>, Uint8Array | undefined, string[]]>([
  [
    'a profile for grey',
    {},
    drawIcc().fill('GRAY', 16, 20),
    ['its profile leads to no colours (damaged, or not one for RGB)'],
  ],
  [
    'a profile cut short',
    {},
    drawIcc().subarray(0, 200),
    ['its profile leads to no colours (damaged, or not one for RGB)'],
  ],
  [
    'a video’s numbers',
    { cICP: Buffer.from([9, 16, 0, 1]) },
    undefined,
    ['it states its colours by code numbers, as videos do (cICP), which are not read'],
  ],
  ['sRGB by a video’s numbers', { cICP: Buffer.from([1, 13, 0, 1]) }, undefined, []],
])('what is there and cannot be read is told: %s', async (_, parts, icc, notes) => {
  const info = await scanInfo(page(parts, icc));
  expect(info.notes).toEqual(notes);
  const { by, words } = await uncalibratedBy(info);
  const why = icc ? 'its profile is damaged or not one for RGB' : 'it carries no profile';
  expect([by, words]).toEqual(['assumed-srgb', `as if it were sRGB, since ${why}`]);
});

test.each([45_455 - 160, 45_455 + 160, 11_000, 900_000])('a power of %i is stated', async (power) => {
  expect((await pngColours(page({ gAMA: numbers(power) }))).stated?.gamma).toBeCloseTo(100_000 / power, 9);
});

test('a file that ends within its parts states nothing, one that cannot be read is a fault', async () => {
  const bytes = drawPng({ widthPx: 20, heightPx: 10, samples, parts: { gAMA } });
  const cut = folder.put('cut.png', bytes.subarray(0, bytes.indexOf('gAMA') + 6));
  expect((await pngColours(cut)).stated).toBeNull();
  await expect(pngColours(`${cut}.gone`)).rejects.toThrow('ENOENT');
});

test('a part of another checksum is refused at the door, where the picture needs it', async () => {
  const bytes = drawPng({ widthPx: 20, heightPx: 10, samples, parts: { teXt: Buffer.from('a\0b') } });
  const spoilt = (name: string, at: number): string => {
    const copy = Buffer.from(bytes);
    copy[copy.indexOf(name) + at] ^= 1;
    return folder.put(`${name}.png`, copy);
  };
  await expect(scanInfo(spoilt('IDAT', 30))).rejects.toMatchObject({
    code: 'scan-cut-short',
    message: expect.stringContaining('a PNG but cannot be decoded (parts of it differ from their own checksums)'),
  });
  expect((await scanInfo(spoilt('teXt', 5))).format).toBe('png');
});
