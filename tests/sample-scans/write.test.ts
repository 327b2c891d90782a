import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { toPng } from '../../sample-scans/generator/write.ts';

describe('a bench on the disk', () => {
  it.each([8, 16] as const)('holds every one of its %i bit values', async (bits) => {
    const [widthPx, heightPx] = [40, 30];
    const count = 3 * widthPx * heightPx;
    const data = bits === 8 ? new Uint8Array(count) : new Uint16Array(count);
    for (let i = 0; i < count; i++) data[i] = (i * i * 31 + 7 * i) % 2 ** bits;

    const file = await toPng({ data, widthPx, heightPx, dpi: 300, bits, originPx: [0, 0] });

    const raw = sharp(file).raw({ depth: bits === 8 ? 'uchar' : 'ushort' });
    const back = await raw.toColourspace(bits === 8 ? 'srgb' : 'rgb16').toBuffer();
    const read = bits === 8 ? new Uint8Array(back) : new Uint16Array(back.buffer, back.byteOffset, back.length / 2);
    expect([...read]).toEqual([...data]);
    expect(await sharp(file).metadata()).toMatchObject({ density: 300, isPalette: false });
  });
});
