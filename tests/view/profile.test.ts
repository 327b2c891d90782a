/** Embedded profiles against Little CMS itself: curves and a matrix, tables of several kinds, and what is no use. */
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { linearise, signalsToXyz } from '../../analysis/calibrate/apply.ts';
import { gridToXyz } from '../../analysis/colour/deviceGrid.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { LAB_RASTER_SCALE } from '../../analysis/colour/labRaster.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { type ProfileColours, profileColours, withProfile } from '../../electron/view/profile.ts';
import { View } from '../../electron/view/view.ts';
import { drawIcc, drawIccUtf16 } from '../host/drawIcc.ts';
import { drawTiff } from '../host/drawTiff.ts';
import { testFolder } from '../host/folder.ts';
import { ASSUMED, viewScan } from './drawScan.ts';
import { drawTableIcc } from './drawTableIcc.ts';

const folder = testFolder();
const view = new View({ cacheFolder: join(folder.path, 'cache') });
afterAll(() => view.close());

/** Device values over the whole cube, greys, and the dark corner, where curves bend most. */
function deviceValues(bits: 8 | 16): DeviceRaster {
  const random = seededRandom(11);
  const top = bits === 8 ? 255 : 65535;
  const data = new (bits === 8 ? Uint8Array : Uint16Array)(3 * 6000);
  for (let i = 0; i < data.length; i += 3) {
    const kind = (i / 3) % 3;
    const grey = random();
    for (let k = 0; k < 3; k++) {
      data[i + k] = Math.round(top * (kind === 0 ? random() : kind === 1 ? grey : 0.15 * random()));
    }
  }
  data.set([0, 0, 0, top, top, top, top, 0, 0, 0, top, 0, 0, 0, top]);
  return { data, widthPx: 6000, heightPx: 1, bits, dpi: 600, originPx: [0, 0] };
}

function xyzThrough(raster: DeviceRaster, colours: ProfileColours): Float32Array {
  const xyz = new Float32Array(raster.data.length);
  if (colours.by === 'matrix') signalsToXyz(linearise(raster, colours.compiled).data, colours.compiled, xyz);
  else gridToXyz(raster.data, colours.grid, xyz);
  return xyz;
}

async function differences(icc: Buffer, bits: 8 | 16): Promise<{ by: string; all: number[] }> {
  const raster = deviceValues(bits);
  const wide = Uint16Array.from(raster.data, (v) => (bits === 8 ? v * 257 : v));
  const theirs = await withProfile(icc, (lab) => lab(wide));
  const colours = await profileColours(icc);
  if (theirs === null || colours === null) throw new Error('the drawn profile is none');
  const xyz = xyzThrough(raster, colours);
  const all = Array.from({ length: xyz.length / 3 }, (_, i) =>
    deltaE2000(
      xyzToLab([xyz[3 * i], xyz[3 * i + 1], xyz[3 * i + 2]]),
      labD50(theirs[3 * i], theirs[3 * i + 1], theirs[3 * i + 2]),
    ),
  ).sort((a, b) => a - b);
  return { by: colours.by, all };
}

describe.each([8, 16] as const)('values of %i bits', (bits) => {
  test('curves and a matrix are the library’s to a thousandth', async () => {
    const { by, all } = await differences(drawIcc(), bits);
    expect(by).toBe('matrix');
    expect(all[all.length - 1]).toBeLessThan(5e-3);
  });

  test.each([2.4, 1.8, 1])('a table behind curves of gamma %d', async (gamma) => {
    const { by, all } = await differences(drawTableIcc(gamma), bits);
    expect(by).toBe('grid');
    expect(all[Math.floor(all.length / 2)]).toBeLessThan(0.05);
    expect(all[Math.floor(0.99 * all.length)]).toBeLessThan(0.5);
    expect(all[all.length - 1]).toBeLessThan(1);
  });
});

test('the drawn table says what was put into it', async () => {
  const lab = await withProfile(drawTableIcc(1), (to) => to(Uint16Array.from([65535, 65535, 65535, 0, 0, 0])));
  [100, 0, 0, 0, 0, 0].forEach((v, i) => expect(Math.abs((lab?.[i] ?? NaN) - v)).toBeLessThan(0.05));
});

describe('a scan that carries a profile', () => {
  const samples = Uint16Array.from([60000, 50000, 40000, 12000, 20000, 50000]);
  const scanWith = (icc: Buffer, name: string) =>
    viewScan(folder.put(`${name}.tif`, drawTiff({ widthPx: 2, heightPx: 1, bits: 16, samples, icc })), name, {
      by: 'profile',
      key: `p-${name}`,
    });

  test.each([
    ['a matrix', drawIcc()],
    ['a table', drawTableIcc()],
  ])('is shown through it: %s', async (name, icc) => {
    const scan = await scanWith(icc, name.replace(' ', '-'));
    const theirs = await withProfile(icc, (lab) => lab(samples));
    const { data } = await view.lab(scan, [0, 0, 2, 1], 2);
    theirs?.forEach((v, i) => expect(Math.abs(v - data[i] / LAB_RASTER_SCALE)).toBeLessThan(0.3));
    expect(theirs).not.toBeNull();
    const plain = await view.lab({ ...scan, colours: ASSUMED }, [0, 0, 2, 1], 2);
    expect(Math.abs(plain.data[4] - data[4])).toBeGreaterThan(300);
    expect(await view.profileProblem(scan.file)).toBeNull();
    const probed = await view.probe(scan, 0.5, 0.5, 0);
    expect([probed.u, probed.flags]).toEqual([null, ['uncalibrated']]);
  });

  test.each([
    ['no way to colours', drawIccUtf16('Names only')],
    ['cut short', drawIcc().subarray(0, 200)],
    ['noise', Buffer.from('no profile at all, but enough bytes for a header'.repeat(4))],
  ])('that is no use (%s) is shown as sRGB, and said to be so', async (name, icc) => {
    const scan = await scanWith(icc, name.replaceAll(' ', '-'));
    expect(await view.profileProblem(scan.file)).toMatch(/profile/);
    const plain = await view.lab({ ...scan, colours: ASSUMED }, [0, 0, 2, 1], 2);
    expect((await view.lab(scan, [0, 0, 2, 1], 2)).data).toEqual(plain.data);
  });

  test('none at all', async () => {
    const file = folder.put('bare.tif', drawTiff({ widthPx: 2, heightPx: 1, bits: 16, samples }));
    expect(await view.profileProblem(file)).toBe('it carries no profile');
  });
});
