/** Packed scans are unpacked once for all tasks that read them: the same values, a copy that does not stay, and no copy where it would be of no use. */
import { existsSync, readdirSync } from 'node:fs';
import { dirname } from 'node:path';
import sharp from 'sharp';
import { beforeAll, expect, test, vi } from 'vitest';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { PlainCopies } from '../../electron/jobs/plainCopies.ts';
import { linearBox } from '../../electron/jobs/scanBands.ts';
import type { PaperTask, RegionTask, TaskRunner } from '../../electron/jobs/tasks.ts';
import { compiled } from '../../electron/jobs/compiled.ts';
import { readScan } from '../../electron/scans/readScan.ts';
import { scanInfo, type ScanInfo } from '../../electron/scans/scanInfo.ts';
import { testFolder } from '../host/folder.ts';

const folder = testFolder();
const [WIDTH, HEIGHT] = [2100, 2000];

beforeAll(async () => {
  const raw = { width: WIDTH, height: HEIGHT, channels: 3 } as const;
  const samples = Uint16Array.from({ length: 3 * WIDTH * HEIGHT }, (_, i) => (i * 257 + (i >> 7)) % 65536);
  const image = sharp(samples, { raw }).toColourspace('rgb16');
  await image.clone().png({ compressionLevel: 1 }).toFile(`${folder.path}/deep.png`);
  await image.clone().tiff({ compression: 'none' }).toFile(`${folder.path}/plain.tif`);
  const eight = Uint8Array.from({ length: 3 * WIDTH * HEIGHT }, (_, i) => (i * 7 + (i >> 9)) % 256);
  await sharp(eight, { raw }).jpeg().toFile(`${folder.path}/photo.jpg`);
  await sharp(eight.subarray(0, 3 * 300 * 200), { raw: { ...raw, width: 300, height: 200 } })
    .png()
    .toFile(`${folder.path}/small.png`);
}, 60_000);

/** What each task that came through was told of its scan. */
function listening() {
  const told: ScanInfo[] = [];
  const heard = (task: PaperTask | RegionTask) => told.push(task.info);
  const runner: TaskRunner = {
    calibrate: () => Promise.reject(new Error('not asked for')),
    paper: (task) => Promise.resolve((heard(task), { paper: null, bare: null })),
    region: (task) =>
      Promise.resolve(
        (heard(task), { id: task.id, quantities: [], ink: null, marks: null, spread: null, strip: null }),
      ),
    film: () => Promise.reject(new Error('not asked for')),
    overlay: () => Promise.reject(new Error('not asked for')),
  };
  return { told, copies: new PlainCopies(runner) };
}

const BOX = [5, 1800, 90, 20] as const;
const task = (info: ScanInfo): PaperTask => {
  const marks = { boxPx: BOX, markedPx: [], writtenPx: [] };
  return { task: 'paper', info, dpi: 300, calibration: nominalCalibration, ...marks };
};

test.each(['deep.png', 'photo.jpg'])('%s: one copy for all, of the same values, gone in the end', async (name) => {
  const info = await scanInfo(`${folder.path}/${name}`);
  const { told, copies } = listening();
  await Promise.all([copies.paper(task(info)), copies.paper(task(info))]);
  const [first, second] = told;
  const copy = first.unpacked ?? '';
  expect(existsSync(copy)).toBe(true);
  expect([second.unpacked, readdirSync(dirname(copy)).length]).toEqual([copy, 1]);
  const map = compiled(nominalCalibration);
  const direct = await linearBox(info, 300, BOX, map);
  expect((await linearBox(first, 300, BOX, map)).data).toEqual(direct.data);
  expect((await readScan(info.file, BOX, 300, first)).data).toEqual((await readScan(info.file, BOX, 300)).data);
  await copies.close();
  expect(existsSync(dirname(copy))).toBe(false);
});

test('several scans asked for at once have each a copy of its own', async () => {
  const { told, copies } = listening();
  const infos = await Promise.all(['deep.png', 'photo.jpg'].map((name) => scanInfo(`${folder.path}/${name}`)));
  await Promise.all(infos.map((info) => copies.paper(task(info))));
  expect(new Set(told.map(({ unpacked }) => unpacked)).size).toBe(2);
  for (const info of told) {
    const copied = await readScan(info.file, BOX, 300, info);
    expect(copied.data).toEqual((await readScan(info.file, BOX, 300)).data);
  }
  await copies.close();
});

test('plain rows, and scans that are decoded at once, are read where they lie; one that cannot be decoded is left to those who say why', async () => {
  const { told, copies } = listening();
  const plain = await scanInfo(`${folder.path}/plain.tif`);
  const small = await scanInfo(`${folder.path}/small.png`);
  const gone = { ...(await scanInfo(`${folder.path}/deep.png`)), file: `${folder.path}/gone.png` };
  for (const info of [plain, small, gone]) await copies.paper(task(info));
  expect(told).toEqual([plain, small, gone]);
  await copies.close();
});

test('where no folder for copies can be made, scans are read as they are, and nothing is lost in the end', async () => {
  const info = await scanInfo(`${folder.path}/deep.png`);
  const { told, copies } = listening();
  vi.stubEnv('TMPDIR', `${folder.path}/small.png`);
  await copies.paper(task(info)).finally(() => vi.unstubAllEnvs());
  expect(told).toEqual([info]);
  await copies.close();
});
