import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { curvTag, drawIcc, drawIccUtf16 } from './drawIcc.ts';
import { drawTiff } from './drawTiff.ts';
import { testFolder } from './folder.ts';

const folder = testFolder();
const rgb = { widthPx: 20, heightPx: 10, samples: Array.from({ length: 600 }, (_, i) => (i * 7) % 256) };

describe('the profile', () => {
  test.each<[string, Buffer, string]>([
    ['a name in UTF-16', drawIccUtf16('Weiß Δ'), 'Weiß Δ'],
    ['no name', drawIcc(null), 'embedded'],
    ['line ends and escape codes in the name', drawIcc('two\nlines\u001b[31m'), 'two lines [31m'],
  ])('%s', async (_, icc, expected) => {
    const file = folder.put('icc.tif', drawTiff({ ...rgb, icc }));
    expect((await scanInfo(file)).icc).toBe(expected);
  });

  const thrice = (values: readonly number[]) => [curvTag(values), curvTag(values), curvTag(values)] as const;
  const fallingCurves = thrice([65535, 30000, 0]);
  const standingCurves = thrice([30000, 30000, 30000]);
  test.each<[string, Buffer, boolean]>([
    ['curves and primaries', drawIcc(), true],
    ['a name alone', drawIccUtf16('Name'), false],
    ['the end cut off', drawIcc().subarray(0, 300), false],
    ['bytes that are none', Buffer.alloc(200, 'none'), false],
    ['primaries of nothing', drawIcc('0', undefined, 'scnr', [0, 0, 0]), false],
    ['primaries below nothing', drawIcc('−', undefined, 'scnr', [-1, -1, -1]), false],
    ['curves that fall', drawIcc('falls', fallingCurves, 'scnr'), false],
    ['curves that stand', drawIcc('stands', standingCurves, 'scnr'), false],
    ['a display’s white left at D65', drawIcc('D65', undefined, 'mntr', [0.986, 1, 1.32]), false],
    ['a scanner’s white that is blue and above 1', drawIcc('raw', undefined, 'scnr', [1.18, 1.2, 1.58]), true],
  ])('%s: whether it leads to colours, and a note when not', async (_, icc, usable) => {
    const info = await scanInfo(folder.put('use.tif', drawTiff({ ...rgb, icc })));
    expect(info.iccUnusable).toBe(usable ? undefined : true);
    expect(info.notes.some((note) => note.includes('leads to no colours'))).toBe(!usable);
  });

  test('a TIFF’s own curve or primaries, which nobody reads, are told where no profile leads', async () => {
    const notes = async (tag: number, profile?: Buffer) =>
      (
        await scanInfo(
          folder.put('own.tif', drawTiff({ ...rgb, privateTags: { [tag]: 'x' }, ...(profile && { icc: profile }) })),
        )
      ).notes;
    const told = 'it states a tone curve or primaries of its own (TIFF tags 301, 319), which are not read';
    expect(await notes(301)).toContain(told);
    expect(await notes(319)).toContain(told);
    expect(await notes(320)).not.toContain(told);
    expect(await notes(301, drawIcc())).not.toContain(told);
  });

  test('of a JPEG, of which a part is missing: told, never passed over', async () => {
    const jpeg = await sharp(Uint8Array.from(rgb.samples), { raw: { width: 20, height: 10, channels: 3 } })
      .withIccProfile('p3')
      .jpeg({ chromaSubsampling: '4:4:4' })
      .toBuffer();
    const told = async (bytes: Buffer) => (await scanInfo(folder.put('part.jpg', bytes))).iccUnusable;
    expect(await told(jpeg)).toBeUndefined();
    // Its one part calls itself the second of two.
    const [part, of] = [12, 13].map((n) => jpeg.indexOf('ICC_PROFILE\0') + n);
    jpeg[part] = jpeg[of] = 2;
    expect(await told(jpeg)).toBe(true);
  });

  test('none', async () => {
    expect(await scanInfo(folder.put('none.tif', drawTiff(rgb)))).toMatchObject({ icc: null, iccHash: null });
  });
});
