/** The report card through the backend: the sample's target, and the same seen by a scanner that has become brighter. */
import { readFileSync, rmSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { beforeAll, describe, expect, test } from 'vitest';
import type { CalibrationReport, DocumentTarget, Work } from '../../electron/backend/api.ts';
import { backendBench, drawSwab, problemIn } from './backendBench.ts';

const sample = (name: string): Buffer =>
  readFileSync(fileURLToPath(new URL(`../../sample-scans/${name}`, import.meta.url)));
const bench = backendBench();

interface Scanned {
  /** Of every device value. */
  readonly factor: number;
  readonly dateTime: string;
  readonly model?: string;
  readonly software?: string;
}

/** The sample's target as another scan, at half its resolution: less to read. @param by Without it nothing says what scanned it, and when. */
async function scanned(by?: Scanned): Promise<Buffer> {
  const { data, info } = await sharp(sample('target.png'))
    .resize(832)
    .toColourspace('rgb16')
    .raw({ depth: 'ushort' })
    .toBuffer({ resolveWithObject: true });
  const values = new Uint16Array(data.buffer, data.byteOffset, data.length / 2).map((v) =>
    Math.round(v * (by?.factor ?? 1)),
  );
  const image = sharp(values, { raw: { width: info.width, height: info.height, channels: 3 } })
    .toColourspace('rgb16')
    .withMetadata({ density: 150 })
    .png({ compressionLevel: 1 });
  if (!by) return image.toBuffer();
  const { dateTime, model = 'Flat 12', software = 'Slow Scan' } = by;
  return image
    .withExifMerge({ IFD0: { Make: 'Tern Works', Model: model, Software: software, DateTime: dateTime } })
    .toBuffer();
}

let files: Pick<DocumentTarget, 'layout' | 'reference'>;
beforeAll(async () => {
  const [layout, reference] = await Promise.all([
    bench.upload('layout.json', sample('layout.json')),
    bench.upload('reference.txt', sample('reference.txt')),
  ]);
  files = { layout: layout.hash, reference: reference.hash };
});

async function inkWithTarget(scans: Readonly<Record<string, Buffer>>, scan: string): Promise<Work> {
  const work = await bench.inkWith(scans);
  const edit = { edit: 'setTarget', serves: 'all', target: { scan, ...files } };
  return bench.posted<Work>(`/api/inks/${work.ink.id}/edits`, { edit });
}

const reportOf = (work: Work, scan: string) =>
  bench.get<CalibrationReport>(`/api/inks/${work.ink.id}/targets/${scan}/report`);

test('waits for the calibration and says all of it', async () => {
  const work = await inkWithTarget({ 'plain.png': await scanned() }, 'plain');
  const report = await reportOf(work, 'plain');
  expect(report).toMatchObject({
    format: 'wetline-calibration/1',
    judgement: 'good',
    words: expect.stringMatching(/^Good: a patch/),
    target: { layout: 'Marram test card, 24 greys and 72 colours', located: { by: 'fiducials' } },
    scan: { dpi: 150, bits: 16, format: 'png', scannedAt: null },
    scanner: { identity: null, blurMm: expect.any(Number) },
    drift: { by: 'kind-of-file', earlier: [] },
  });
  expect(report.patches).toHaveLength(96);
  expect(report.candidates.filter(({ chosen }) => chosen)).toHaveLength(1);
  // Kept: nothing is calibrated again for it, and nothing of it is lost.
  expect(await reportOf(work, 'plain')).toEqual(report);
});

describe('drift', () => {
  let now: Work;
  beforeAll(async () => {
    now = await inkWithTarget({ 'now.png': await scanned({ factor: 1, dateTime: '2026:09:01 08:00:00' }) }, 'now');
  });

  test('of one scanner, by the day of the scan and not of the calibrating', async () => {
    expect((await reportOf(now, 'now')).drift.earlier).toEqual([]);
    // Brought later, scanned earlier; darker then by 2 % of its device values.
    const may = await inkWithTarget(
      { 'may.png': await scanned({ factor: 0.98, dateTime: '2026:05:03 10:15:00' }) },
      'may',
    );
    await reportOf(may, 'may');
    const { drift } = await reportOf(now, 'now');
    expect(drift.by).toBe('scanner');
    expect(drift.earlier).toHaveLength(1);
    const [{ name, at, compared, words }] = drift.earlier;
    expect([name, at]).toEqual(['may.png', '2026-05-03T10:15:00']);
    const [red, green, blue] = compared?.brighterPercent ?? [NaN, NaN, NaN];
    // A power of its device values: all channels alike.
    expect(red).toBeGreaterThan(2);
    expect(Math.abs(red - green)).toBeLessThan(0.3);
    expect(Math.abs(blue - green)).toBeLessThan(0.3);
    expect(words).toMatch(/^Since 3 May 2026 \(may\.png\) the scanner has become \d\.\d % brighter/);
    // Seen from May there is nothing before.
    expect((await reportOf(may, 'may')).drift.earlier).toEqual([]);
  });

  test('another scanner’s calibrations and other settings are no drift', async () => {
    const other = await scanned({ factor: 0.9, dateTime: '2026:01:01 08:00:00', model: 'Flat 9' });
    await reportOf(await inkWithTarget({ 'other.png': other }, 'other'), 'other');
    const quick = await scanned({ factor: 0.9, dateTime: '2026:02:01 08:00:00', software: 'Quick Scan' });
    await reportOf(await inkWithTarget({ 'quick.png': quick }, 'quick'), 'quick');
    const { drift } = await reportOf(now, 'now');
    expect(drift.earlier.map(({ name }) => name)).not.toContain('other.png');
    expect(drift.earlier.find(({ name }) => name === 'quick.png')).toMatchObject({
      compared: null,
      settingsChanged: ['software “Quick Scan” then, “Slow Scan” now'],
    });
  });
});

describe('refused in words', () => {
  test('no target on this scan', async () => {
    const work = await bench.inkWith({ 'white.png': drawSwab() });
    const answer = await bench.ask(`/api/inks/${work.ink.id}/targets/white/report`);
    expect(await problemIn(answer)).toEqual({
      status: 404,
      code: 'no-target',
      message: 'No target is said to lie in scan “white”; say which layout and reference it has.',
    });
  });

  test('a scan that the ink has no more', async () => {
    const work = await bench.inkWith({ 'white.png': drawSwab() });
    const { status, message } = await problemIn(await bench.ask(`/api/inks/${work.ink.id}/targets/gone/report`));
    expect(status).toBe(404);
    expect(message).toMatch(/has no scan “gone”/);
  });

  test('a target whose scan’s file is gone', async () => {
    const { ink, scans } = await bench.inkWith({ 'lost.png': drawSwab(1180, 900) });
    const edit = { edit: 'setTarget', serves: 'lost', target: { scan: 'lost', ...files } };
    await bench.posted<Work>(`/api/inks/${ink.id}/edits`, { edit });
    rmSync(bench.host.library.file(scans[0].hash)!.path);
    const problem = await problemIn(await bench.ask(`/api/inks/${ink.id}/targets/lost`));
    expect(problem).toMatchObject({ status: 422, message: expect.stringContaining('its file is gone') });
  });

  test('a target that is not there', async () => {
    const work = await inkWithTarget({ 'swab.png': drawSwab(1200, 900) }, 'swab');
    const problem = await problemIn(await bench.ask(`/api/inks/${work.ink.id}/targets/swab/report`));
    expect(problem.status).toBe(422);
    expect(problem.message).toMatch(/^swab\.png: [^\n]+$/);
    expect(bench.defects).toEqual([]);
  });
});
