/** Embedded profiles against Little CMS itself: curves and a matrix exactly, tables as nearly as is said, and what is no use as sRGB. */
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { compileCalibration, linearise, signalsToXyz } from '../../analysis/calibrate/apply.ts';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { labMetric, lchAxes } from '../../analysis/calibrate/colourMetric.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { colourUncertainty } from '../../analysis/calibrate/uncertainty.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, type LabD50, xyzToLab } from '../../analysis/colour/lab.ts';
import { LAB_RASTER_SCALE } from '../../analysis/colour/labRaster.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { withProfile } from '../../electron/scans/littleCms.ts';
import { profileCalibration, uncalibratedBy } from '../../electron/scans/uncalibrated.ts';
import { View } from '../../electron/view/view.ts';
import { curvTag, drawIcc, drawIccUtf16, paraTag } from '../host/drawIcc.ts';
import { drawTiff } from '../host/drawTiff.ts';
import { testFolder } from '../host/folder.ts';
import { ASSUMED, viewScan } from './drawScan.ts';
import { drawTableIcc, likeAScanner } from './drawTableIcc.ts';

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

interface Pair {
  readonly ours: LabD50;
  /** Little CMS's. */
  readonly theirs: LabD50;
}

async function both(icc: Buffer, bits: 8 | 16): Promise<{ calibration: Calibration; pairs: Pair[] }> {
  const raster = deviceValues(bits);
  const wide = Uint16Array.from(raster.data, (v) => (bits === 8 ? v * 257 : v));
  const theirs = await withProfile(icc, (toLab) => toLab(wide));
  const calibration = await profileCalibration(icc);
  if (theirs === null || calibration === null) throw new Error('the drawn profile is none');
  const compiled = compileCalibration(calibration);
  const xyz = new Float32Array(raster.data.length);
  signalsToXyz(linearise(raster, compiled).data, compiled, xyz);
  const pairs = Array.from({ length: xyz.length / 3 }, (_, i) => ({
    ours: xyzToLab([xyz[3 * i], xyz[3 * i + 1], xyz[3 * i + 2]]),
    theirs: labD50(theirs[3 * i], theirs[3 * i + 1], theirs[3 * i + 2]),
  }));
  return { calibration, pairs };
}

const srgbLike = (v: number) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
const sampled = (count: number, signal: (v: number) => number) =>
  curvTag(Array.from({ length: count }, (_, i) => Math.round(65535 * signal(i / (count - 1)))));
const all = (curve: Buffer) => [curve, curve, curve] as const;

describe('curves and a matrix are the library’s', () => {
  test.each([
    ['gamma 1.8', drawIcc()],
    ['a device that counts light', drawIcc('linear', all(curvTag([])))],
    ['function type 0', drawIcc('p0', all(paraTag(0, [2.4])))],
    ['function type 1', drawIcc('p1', all(paraTag(1, [2.2, 0.95, 0.05])))],
    ['function type 2', drawIcc('p2', all(paraTag(2, [2.2, 0.9, 0.05, 0.02])))],
    ['function type 3, as sRGB', drawIcc('p3', all(paraTag(3, [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045])))],
    ['function type 4', drawIcc('p4', all(paraTag(4, [2.4, 0.9, 0.05, 0.08, 0.045, 0.01, 0.012])))],
    ['1024 samples', drawIcc('s1024', all(sampled(1024, srgbLike)))],
    [
      '256 samples of another curve each',
      drawIcc('s256', [sampled(256, (v) => v ** 1.9), sampled(256, srgbLike), sampled(256, (v) => v ** 2.4)]),
    ],
    ['21 samples, with corners', drawIcc('s21', all(sampled(21, (v) => v ** 2.2)))],
    ['a curve that is flat above', drawIcc('flat', all(sampled(64, (v) => Math.min(1, 1.2 * v ** 2))))],
  ])('%s', async (name, icc) => {
    const most = /samples|flat/.test(name) ? 0.06 : /function/.test(name) ? 0.02 : 0.005;
    for (const bits of [8, 16] as const) {
      const { calibration, pairs } = await both(icc, bits);
      expect(calibration).toMatchObject({ judgement: 'none', model: 'nominal', leftOutMean: null, patches: [] });
      expect(calibration).not.toHaveProperty('misfit');
      const gaps = pairs.map(({ ours, theirs }) => deltaE2000(ours, theirs));
      // Knots miss a thousandth of L*, and the library rounds what sampled curves give to 16 bits: steps of 0.014 L* and 0.06 a* in the
      // deepest shadows.
      expect(Math.max(...gaps)).toBeLessThan(most);
      expect(gaps.reduce((sum, v) => sum + v) / gaps.length).toBeLessThan(most / 8);
    }
  });

  test('few knots do', async () => {
    const { calibration } = await both(drawIcc('s1024', all(sampled(1024, srgbLike))), 16);
    expect(calibration.curves[0].device.length).toBeLessThan(400);
    expect(calibration.curves[1]).toBe(calibration.curves[0]);
  });
});

/** Lightness, chroma and hue of a difference, each in ΔE00. */
function parts({ ours, theirs }: Pair): readonly [number, number, number] {
  const m = labMetric(theirs);
  const [dL, da, db] = [0, 1, 2].map((k) => ours[k] - theirs[k]);
  return [m[0] * dL, m[4] * da + m[5] * db, m[7] * da + m[8] * db];
}

const rms = (values: readonly number[]) => Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);

describe('a table is fitted, and what the fit misses is known', () => {
  test.each([
    ['like a scanner’s', drawTableIcc(1.8, likeAScanner), 0.5],
    ['like a scanner’s that counts light', drawTableIcc(1, likeAScanner), 0.7],
    ['no scanner’s, behind curves of gamma 1.8', drawTableIcc(1.8), 1.6],
    ['no scanner’s, behind curves of gamma 2.4', drawTableIcc(2.4), 1.6],
  ])('%s', async (_, icc, most) => {
    const { calibration, pairs } = await both(icc, 16);
    expect(calibration).toMatchObject({
      judgement: 'none',
      leftOutMean: null,
      patches: [],
      signals: [],
      flatField: null,
    });
    // Colours of prints and inks: the fit was made for those, and for no others.
    const printed = pairs.filter(({ theirs: [L, a, b] }) => L > 8 && Math.hypot(a, b) < 90);
    expect(printed.length).toBeGreaterThan(2000);
    [0, 1, 2].forEach((k) => {
      const found = rms(printed.map((pair) => parts(pair)[k]));
      expect(found).toBeLessThan(most);
      // Told within a third, and in no way smaller than it is.
      expect(found).toBeLessThan(1.35 * calibration.misfit![k] + 0.05);
      expect(calibration.misfit![k]).toBeLessThan(most);
    });
  });

  test('it is part of the uncertainty, beside what is unknown of any scan without a target', async () => {
    const { calibration } = await both(drawTableIcc(1.8), 16);
    const lab = labD50(50, 30, -20);
    const [fitted, bare] = [calibration, { ...calibration, misfit: [0, 0, 0] } as const].map((c) =>
      colourUncertainty(lab, c),
    );
    const added = lchAxes(lab).lightness * calibration.misfit![0];
    expect(fitted[0]).toBeCloseTo(Math.hypot(bare[0], added), 6);
    expect(fitted[1]).toBeGreaterThan(bare[1]);
    expect(fitted[2]).toBeGreaterThan(bare[2]);
    expect(bare[0]).toBeGreaterThan(1);
  });

  test('a space that pictures are converted to says no more of the scanner than sRGB does, a scanner’s own profile does', async () => {
    const lab = labD50(50, 30, -20);
    const u = async (icc: Buffer) => colourUncertainty(lab, (await profileCalibration(icc))!);
    expect(await u(drawIcc())).toEqual(colourUncertainty(lab, nominalCalibration));
    expect((await u(drawIcc('of a scanner', undefined, 'scnr')))[0]).toBeLessThan(
      colourUncertainty(lab, nominalCalibration)[0],
    );
  });

  test('one without any range is none', async () => {
    expect(
      await profileCalibration(drawTableIcc(1.8, (r, g, b) => [40 + 20 * (0.3 * r + 0.6 * g + 0.1 * b), 0, 0])),
    ).toBeNull();
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
    ['a matrix', drawIcc(), 0.01],
    ['a table', drawTableIcc(1.8, likeAScanner), 1.5],
  ])('is shown and measured through it alike: %s', async (name, icc, missed) => {
    const scan = await scanWith(icc, name.replace(' ', '-'));
    const { calibration, by, words } = await uncalibratedBy(scan.info);
    expect(by).toBe('profile');
    expect(words).toMatch(/^through its embedded profile “(?:Wide test space|Table of the tests)”$/);
    const compiled = compileCalibration(calibration);
    const xyz = new Float32Array(6);
    const raster: DeviceRaster = { data: samples, widthPx: 2, heightPx: 1, bits: 16, dpi: 600, originPx: [0, 0] };
    signalsToXyz(linearise(raster, compiled).data, compiled, xyz);
    const measured = [0, 3].map((i) => xyzToLab([xyz[i], xyz[i + 1], xyz[i + 2]]));
    const { data } = await view.lab(scan, [0, 0, 2, 1], 2);
    measured
      .flat()
      .forEach((v, i) => expect(Math.abs(v - data[i] / LAB_RASTER_SCALE)).toBeLessThan(0.51 / LAB_RASTER_SCALE));
    const probed = await view.probe(scan, 0.5, 0.5, 0);
    expect(deltaE2000(labD50(...probed.lab), measured[0])).toBeLessThan(1e-3);
    expect(probed.flags).toEqual(['uncalibrated']);
    expect(probed.u?.[0]).toBeGreaterThan(1);
    const theirs = await withProfile(icc, (toLab) => toLab(samples));
    expect(deltaE2000(measured[0], labD50(theirs![0], theirs![1], theirs![2]))).toBeLessThan(missed);
    const plain = await view.lab({ ...scan, colours: ASSUMED }, [0, 0, 2, 1], 2);
    expect(Math.abs(plain.data[4] - data[4])).toBeGreaterThan(300);
    expect(await view.profileProblem(scan.file)).toBeNull();
  });

  test('two scans with one profile are read by one calibration', async () => {
    const [a, b] = [await scanWith(drawIcc(), 'one'), await scanWith(drawIcc(), 'other')];
    expect((await uncalibratedBy(a.info)).calibration).toBe((await uncalibratedBy(b.info)).calibration);
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
    const read = await uncalibratedBy(scan.info);
    expect(read.calibration).toBe(nominalCalibration);
    expect(read.words).toBe('as if it were sRGB, since its profile is damaged or not one for RGB');
  });

  test('none at all', async () => {
    const file = folder.put('bare.tif', drawTiff({ widthPx: 2, heightPx: 1, bits: 16, samples }));
    expect(await view.profileProblem(file)).toBe('it carries no profile');
    const { info } = await viewScan(file, 'bare', ASSUMED);
    expect((await uncalibratedBy(info)).words).toBe('as if it were sRGB, since it carries no profile');
  });
});
