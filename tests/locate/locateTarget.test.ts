/** The host's part, with files: bands, windows, and the word on what else it might be. */
import { expect, it } from 'vitest';
import { JobError } from '../../electron/jobs/jobError.ts';
import { locateTarget } from '../../electron/jobs/locateTarget.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { drawTarget, type DrawnTarget, type TargetDrawing } from '../calibrate/drawTarget.ts';
import { drawPng } from '../host/drawPng.ts';
import { testFolder } from '../host/folder.ts';
import { knownTarget, oddDevice, TARGET_NAMES, type TargetName } from './knownTargets.ts';

const folder = testFolder();
const LOOKS: Record<TargetName, Partial<TargetDrawing>> = {
  card: {},
  'iso12641-1': { scale: 0.5, card: 0.6 },
  'chart-4x6': { scale: 0.3, card: 0.12 },
};

function scanned(name: TargetName, drawing: Partial<TargetDrawing>): { file: string; drawn: DrawnTarget } {
  const { layout, known } = knownTarget(name);
  const drawn = drawTarget(layout, oddDevice(known, 3), { dpi: 150, noise: 0.005, ...LOOKS[name], ...drawing });
  const { widthPx, heightPx, bits } = drawn;
  const png = drawPng({ widthPx, heightPx, bits, samples: drawn.data });
  return { file: folder.put(`${name}-${JSON.stringify(drawing).length}.png`, png), drawn };
}

async function locate(file: string, chosen: TargetName, dpi = 150) {
  const { layout, known } = knownTarget(chosen);
  return locateTarget({ info: await scanInfo(file), dpi, layout, reference: known });
}

let coarseCard: DrawnTarget | undefined;

/** The card at 100 dpi, each device value turned into another, 0..1. */
function altered(name: string, value: (from: number) => number): string {
  coarseCard ??= scanned('card', { turnDeg: 3, bits: 16, dpi: 100 }).drawn;
  const { widthPx, heightPx, bits, data } = coarseCard;
  const samples = data.map((from) => Math.round(65_535 * value(from / 65_535)));
  return folder.put(`${name}.png`, drawPng({ widthPx, heightPx, bits, samples }));
}

it.each(TARGET_NAMES)('%s in a file, 16 bits, is found where it lies', async (name) => {
  const { file, drawn } = scanned(name, { turnDeg: 14, bits: 16 });
  const { pointsPx, score, by } = await locate(file, name);
  const misses = pointsPx.map(([x, y], k) => Math.hypot(x - drawn.pointsPx[k][0], y - drawn.pointsPx[k][1]));
  expect((Math.max(...misses) * 25.4) / 150).toBeLessThan(0.15);
  expect(score).toBeGreaterThan(0.8);
  expect(by).toBe(name === 'card' ? 'fiducials' : 'grid');
});

it.each([
  ['iso12641-1', 'card'],
  ['card', 'chart-4x6'],
] as const)('%s in the scan, %s chosen: the likelier one is named', async (scan, chosen) => {
  const { file } = scanned(scan, { turnDeg: 182 });
  const refused = await locate(file, chosen).catch((error: unknown) => error);
  expect(refused).toBeInstanceOf(JobError);
  expect(refused).toMatchObject({
    code: 'other-layout',
    message: expect.stringMatching(new RegExp(`looks like the layout "${scan}" .*: choose that one if it is\\.$`)),
  });
});

it('a mirrored target is refused by its own code, in one line that names the file', async () => {
  const { file } = scanned('chart-4x6', { mirrored: true });
  const refused = await locate(file, 'chart-4x6').catch((error: unknown) => error);
  expect(refused).toBeInstanceOf(JobError);
  expect(refused).toMatchObject({
    code: 'target-mirrored',
    message: expect.stringContaining(`${file}: The target "4 × 6 colour-rendition chart" at`),
  });
});

it('a reference for another target knows none of these patches: what is typical of a built-in one does', async () => {
  const { file, drawn } = scanned('card', { discs: [0, 1, 2] });
  const { layout } = knownTarget('card');
  const found = await locateTarget({ info: await scanInfo(file), dpi: 150, layout, reference: { patches: new Map() } });
  const [x, y] = found.pointsPx[3];
  expect((Math.hypot(x - drawn.pointsPx[3][0], y - drawn.pointsPx[3][1]) * 25.4) / 150).toBeLessThan(0.1);
  expect(found.words).toMatch(/^by three of its four discs/);
});

it('a target whose reference is another one is told so, where its usual colours find it', async () => {
  const { file } = scanned('chart-4x6', { turnDeg: 3 });
  const { layout, known } = knownTarget('chart-4x6');
  const ids = layout.patches.map(({ id }) => id);
  const shuffled = new Map(ids.map((id, i) => [id, known.patches.get(ids[(7 * i + 5) % ids.length])!]));
  const task = { info: await scanInfo(file), dpi: 150, layout, reference: { ...known, patches: shuffled } };
  await expect(locateTarget(task)).rejects.toThrow(
    /was found in this scan\. .* Its layout is there, but not in the reference's colours: give the reference that belongs/,
  );
});

it('a scan in grey, saved with three channels, is told so', async () => {
  const { drawn } = scanned('iso12641-1', { turnDeg: 3 });
  const samples = drawn.data.map((_, i) => drawn.data[i - (i % 3) + 1]);
  const { widthPx, heightPx, bits } = drawn;
  const file = folder.put('grey.png', drawPng({ widthPx, heightPx, bits, samples }));
  await expect(locate(file, 'iso12641-1')).rejects.toThrow(/The scan has no colour: .* Scan in colour/);
});

it.each([
  ['dark', (value: number) => 0.03 * value, /four\. The scan is dark: the lightest of it reaches 3 % of the scale/],
  ['blank', (value: number) => 0.97 + 0.01 * value, /four\. The scan is blank: all of it is one tone, at 98 %/],
  ['negative', (value: number) => 1 - value, /The target is there as a negative, .* turn the negative or film mode/],
] as const)('a scan that is %s is told so, and not that discs are lacking alone', async (code, value, words) => {
  const refused = await locate(altered(code, value), 'card', 100).catch((error: unknown) => error);
  expect(refused).toMatchObject({ code, message: expect.stringMatching(words) });
});

it.each([200, 110])('a scan at 100 dpi that is said to have %d: the true one is named', async (said) => {
  const refused = await locate(
    altered('plain', (from) => from),
    'card',
    said,
  ).catch((error: unknown) => error);
  const words = new RegExp(`as if the scan had about (99|100|101) dpi and not ${said}: give the dpi`);
  expect(refused).toMatchObject({ code: 'other-dpi', message: expect.stringMatching(words) });
});
