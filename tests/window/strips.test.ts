/** Strips in the window, as a person would: ends and bands moved by keys and mouse, dyes looked for, fresh over dried, the shelf's dyes. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { FindingsReport, SheetRegion, Work } from '../../electron/backend/api.ts';
import type { ShelfDyes, StripsOnScan } from '../../electron/backend/stripAnswers.ts';
import { violations } from './accessible.ts';
import { running } from './running.ts';
import { arePicturesTaken, openWindow, picture, SCREENS, type OpenedWindow } from './startWindow.ts';

const bench = running('strips');
let opened: OpenedWindow;
let page: Page;

const goTo = (hash: string) => page.evaluate((to) => void (window.location.hash = to), hash);
const asked = <T>(path: string): Promise<T> =>
  page.evaluate(async (from): Promise<T> => (await fetch(from)).json(), path);
async function freshStrip(): Promise<SheetRegion & { kind: 'strip' }> {
  const { regions } = await asked<Work>('/api/inks/1');
  const region = regions.find((one) => one.region.id === 'fresh')?.region;
  if (region?.kind !== 'strip') throw new Error('no strip “fresh”');
  return region;
}
const bands = () => page.getByRole('group', { name: 'Bands', exact: true }).getByRole('button');
const line = (name: 'Origin' | 'Front') => page.getByRole('slider', { name });
/** Each try waits for the library. */
const SEVERAL = { timeout: 60_000 };
/** At both sizes, to be looked at. */
async function pictures(name: string): Promise<void> {
  if (!arePicturesTaken) return;
  for (const screen of [SCREENS.large, SCREENS.small]) {
    await page.setViewportSize(screen);
    await page.waitForTimeout(250);
    await picture(page, `${name}-${screen.width}`);
  }
}
const straight = () =>
  page.waitForFunction(() => {
    const image = document.querySelector<HTMLImageElement>('.strip-field img');
    return image !== null && image.complete && image.naturalWidth > 100;
  });

beforeAll(async () => {
  opened = await openWindow(bench.browser, bench.server.url);
  ({ page } = opened);
  await page.getByText('Curlew Midnight').first().waitFor();
  // What was kept of the sample may be of an earlier version: then it is measured first.
  await goTo('#/ink/1/findings');
  await page.getByRole('button', { name: /all up to date/ }).waitFor({ timeout: 200_000 });
}, 240_000);
afterAll(() => opened.context.close());

test('the strip lies straight with its bands and ends; the profile under it lines up; all of it is accessible', async () => {
  await goTo('#/ink/1/strips?strip=fresh&band=2');
  await expect.poll(() => bands().count()).toBe(3);
  await straight();
  const figure = page.getByRole('figure', { name: 'Profile' });
  await figure.locator('.plot-picture > svg').waitFor();
  await pictures('strips');
  expect(await line('Origin').getAttribute('aria-valuetext')).toBe('Origin 87.70 mm from the box’s top edge, given');
  // The chosen band's frame on the picture, and its white field in the plot.
  const frame = await page.locator('.strip-span[data-chosen="true"]').boundingBox();
  const field = await figure.locator('rect[fill-opacity="0.95"]').boundingBox();
  expect(Math.abs((frame?.x ?? 0) - (field?.x ?? 99))).toBeLessThan(1.5);
  expect(Math.abs((frame?.width ?? 0) - (field?.width ?? 99))).toBeLessThan(1.5);
  expect(await violations(page)).toEqual([]);
  await page.keyboard.press('+');
  await page.keyboard.press('+');
  await expect
    .poll(async () => (await page.locator('.strip-field img').boundingBox())?.width ?? 0)
    .toBeGreaterThan(1500);
  const [nearer, drawn] = [
    await page.locator('.strip-span[data-chosen="true"]').boundingBox(),
    async () => (await figure.locator('rect[fill-opacity="0.95"]').boundingBox())?.x ?? 99,
  ];
  await expect.poll(async () => Math.abs((await drawn()) - (nearer?.x ?? 0))).toBeLessThan(1.5);
  await page.keyboard.press('0');
});

test('origin and front are moved by keys and by mouse, and undone', async () => {
  const before = await freshStrip();
  await line('Origin').focus();
  // On a slow machine answers come between the presses, and the page is drawn some time after them.
  const devTools = await opened.context.newCDPSession(page);
  await devTools.send('Emulation.setCPUThrottlingRate', { rate: 6 });
  for (let press = 0; press < 8; press++) {
    await page.keyboard.press('ArrowRight');
    await page.waitForTimeout(150);
  }
  // The run goes up: to the right is less far from the top.
  await expect.poll(async () => (await freshStrip()).originMm).toBeCloseTo((before.originMm ?? 0) - 0.8, 2);
  await devTools.send('Emulation.setCPUThrottlingRate', { rate: 1 });
  // Nudges that follow each other within a second are one step; a busy machine may make several of them.
  await expect
    .poll(async () => {
      await page.keyboard.press('Control+z');
      // One press after another has been answered: more than are needed would take back what was before.
      await page.locator('[data-saving="saved"]').waitFor();
      return (await freshStrip()).originMm;
    }, SEVERAL)
    .toBe(before.originMm);
  // A drag that Escape ends changes nothing; one past the front stops before it, else the liquid would run the other way.
  const origin = await line('Origin').boundingBox();
  const [from, level] = [(origin?.x ?? 0) + (origin?.width ?? 0) / 2, (origin?.y ?? 0) + 40];
  const drag = async () => {
    await page.mouse.move(from, level);
    await page.mouse.down();
    await page.mouse.move(from + 1000, level, { steps: 4 });
  };
  await drag();
  const originNow = async () => Number(await line('Origin').getAttribute('aria-valuenow'));
  await expect.poll(originNow).toBeCloseTo((before.frontMm ?? 0) + 1, 1);
  await page.keyboard.press('Escape');
  await page.mouse.up();
  await expect.poll(originNow).toBeCloseTo(before.originMm ?? 0, 1);
  expect((await freshStrip()).originMm).toBe(before.originMm);
  const handle = await line('Front').boundingBox();
  const [x, y] = [(handle?.x ?? 0) + (handle?.width ?? 0) / 2, (handle?.y ?? 0) + 40];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x - 30, y, { steps: 4 });
  await page.mouse.up();
  const width = (await page.locator('.strip-field img').boundingBox())?.width ?? 1;
  const moved = (30 / width) * (before.boxMm?.[3] ?? 0);
  await expect.poll(async () => ((await freshStrip()).frontMm ?? 0) - (before.frontMm ?? 0)).toBeCloseTo(moved, 1);
  await page.keyboard.press('Control+z');
  await expect.poll(async () => (await freshStrip()).frontMm).toBe(before.frontMm);
});

test('a band is said to be none and the front to be found: the fit follows, says that a hand was in it, and undo gives all back', async () => {
  await bands().nth(1).click();
  await page.keyboard.press('Delete');
  await expect.poll(() => bands().count(), { timeout: 60_000 }).toBe(2);
  await page.getByText(/No band is at R/).waitFor();
  const { findings } = await asked<FindingsReport>('/api/inks/1/findings');
  const own = findings.filter(({ finding: { subject } }) => subject.regions.join() === 'fresh');
  expect(own.every(({ finding }) => finding.flags.includes('by-hand'))).toBe(true);
  await picture(page, 'strips-by-hand-1280');
  await page.getByRole('button', { name: /^Take back: No band/ }).click();
  await expect.poll(() => bands().count(), { timeout: 60_000 }).toBe(3);
  // By keys: a band where none is, given up again; two bands chosen and joined, and undone.
  await page.locator('h2').first().click();
  await page.keyboard.press('a');
  const place = page.getByRole('slider', { name: 'Place of the new band' });
  await place.waitFor();
  const middle = Number(await place.getAttribute('aria-valuenow'));
  await page.keyboard.press('Shift+ArrowRight');
  await expect.poll(async () => Number(await place.getAttribute('aria-valuenow'))).toBeCloseTo(middle - 1, 1);
  await page.keyboard.press('Escape');
  await expect.poll(() => page.getByRole('slider', { name: 'Place of the new band' }).count()).toBe(0);
  await bands().nth(0).click();
  await page.keyboard.press('Shift+N');
  await page.getByRole('button', { name: 'Join 1 and 2' }).waitFor();
  await page.keyboard.press('u');
  await expect.poll(async () => (await freshStrip()).bands?.length ?? 0).toBe(1);
  await page.keyboard.press('Control+z');
  await expect.poll(async () => (await freshStrip()).bands).toBeUndefined();
});

test('whose dye lies where: along the other strip, and over writing with a map a dye', async () => {
  await page.keyboard.press('2');
  await page.getByRole('figure', { name: 'Dyes of “fresh” along “dried”' }).locator('svg').first().waitFor();
  await picture(page, 'strips-dyes-along-1280');
  await goTo('#/ink/1/strips?strip=fresh&part=dyes&over=ef-white');
  await page.getByRole('table', { name: 'Dyes of “fresh” in the zones of “ef-white”' }).waitFor();
  await expect.poll(() => page.locator('.dye-maps canvas').count()).toBe(3);
  await page.getByText(/^Of the colour in the middle of the strokes, \d+ % comes from the dye of band/).waitFor();
  await picture(page, 'strips-dyes-over-1280');
  expect(await violations(page)).toEqual([]);
});

test('fresh over dried at one scale of R_F, with what changed and what that forecasts', async () => {
  await page.locator('h2').first().click();
  await page.keyboard.press('3');
  const joins = page.getByRole('img', { name: /^From fresh to dried: Band 1, change of R F −0\.0/ });
  await joins.waitFor();
  await expect.poll(() => joins.locator('.runs-join').count()).toBe(3);
  await page.getByText(/^Forecast for water:/).waitFor();
  await page.waitForFunction(() =>
    [...document.querySelectorAll<HTMLImageElement>('.runs-frame img')].every(({ complete }) => complete),
  );
  await picture(page, 'strips-runs-1280');
  expect(await violations(page)).toEqual([]);
});

test('the dyes of the shelf: sorted by keys, each leading to its strip; without any the page teaches', async () => {
  await goTo('#/dyes');
  await page.locator('.dyes-table').waitFor();
  await page.getByRole('button', { name: 'RF' }).press('Enter');
  await expect.poll(() => page.getByRole('columnheader', { name: 'RF' }).getAttribute('aria-sort')).toBe('ascending');
  await pictures('dyes');
  expect(await violations(page)).toEqual([]);
  await page.getByRole('link', { name: 'Curlew Midnight, band 1' }).first().click();
  await page.waitForURL(/#\/ink\/1\/strips\?strip=(fresh|dried)&band=1/);
  const nothing: ShelfDyes = {
    table: { bands: [], shared: [], alone: [] },
    shared: [],
    note: '',
    inks: {},
    strips: 0,
  };
  await page.route('**/api/dyes', (route) => route.fulfill({ json: nothing }));
  await page.reload();
  await goTo('#/dyes');
  await page.getByText('No ink on the shelf has a chromatography strip yet.').waitFor();
  await picture(page, 'dyes-none-1280');
});

test('strips that lie on a scan are offered, taken all at once, and undone; an ink without strips is taught', async () => {
  const strip = { travel: 'up', travelSure: true, originMm: null, frontMm: null } as const;
  const found: StripsOnScan = {
    strips: [
      { ...strip, boxMm: [5, 5, 18, 90] },
      { ...strip, boxMm: [40, 5, 18, 90], travelSure: false },
    ],
  };
  await page.route('**/scans/white/strips', (route) => route.fulfill({ json: found }));
  await goTo('#/ink/1/scans?scan=white');
  await page.getByRole('button', { name: 'Look for strips on this scan' }).click();
  await page.getByText('Strip 2: 18 × 90 mm, the liquid went up (a guess: its two ends look alike)').waitFor();
  await picture(page, 'strips-offered-1280');
  expect(await violations(page)).toEqual([]);
  await page.getByRole('button', { name: 'Take all 2' }).click();
  const strips = async () => (await asked<Work>('/api/inks/1')).regions.filter(({ region }) => region.kind === 'strip');
  await expect.poll(async () => (await strips()).length).toBe(4);
  await page.getByRole('heading', { name: '2 regions' }).waitFor();
  await page.keyboard.press('Control+z');
  await page.keyboard.press('Control+z');
  await expect.poll(async () => (await strips()).length).toBe(2);
  // On the scan itself the chosen strip's lines are reached by Tab and moved by arrows, too.
  const before = await freshStrip();
  await goTo('#/ink/1/scans?scan=strip-fresh&region=fresh');
  await line('Origin').focus();
  await page.keyboard.press('ArrowDown');
  await expect.poll(async () => (await freshStrip()).originMm).toBeCloseTo((before.originMm ?? 0) + 0.1, 2);
  await page.keyboard.press('Control+z');
  await expect.poll(async () => (await freshStrip()).originMm).toBe(before.originMm);
  const bare = await page.evaluate(async (): Promise<Work> => {
    const headers = { 'content-type': 'application/json' };
    const answer = await fetch('/api/inks', { method: 'POST', headers, body: JSON.stringify({ name: 'Samphire' }) });
    return answer.json();
  });
  await goTo(`#/ink/${bare.ink.id}/strips`);
  await page.getByText('Put a spot of ink on a strip of filter paper').waitFor();
  await picture(page, 'strips-none-1280');
  expect(opened.complaints).toEqual([]);
});
