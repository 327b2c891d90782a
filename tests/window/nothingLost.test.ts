/** What is done with names, fields and pins while the window is loaded anew, or another window is at work: none of it is lost, or lost unsaid. */
import type { Page } from 'playwright-core';
import { afterEach, beforeAll, expect, test } from 'vitest';
import type { Edit, Work } from '../../electron/backend/api.ts';
import { running } from './running.ts';
import { openWindow } from './startWindow.ts';

const bench = running('nothing-lost');
let page: Page;
let there: Page;

const EDITS = /\/api\/inks\/1\/edits$/;
const PROBES = /\/probe\b/;

beforeAll(async () => {
  page = (await openWindow(bench.browser, bench.server.url)).page;
  there = (await openWindow(bench.browser, bench.server.url)).page;
  for (const each of [page, there]) await each.getByText('Curlew Midnight').first().waitFor();
});

afterEach(async () => {
  await page.unrouteAll({ behavior: 'wait' });
});

const work = (): Promise<Work> => there.evaluate(async (): Promise<Work> => (await fetch('/api/inks/1')).json());
const elsewhere = (edit: Edit): Promise<number> =>
  there.evaluate(
    async (body) => (await fetch('/api/inks/1/edits', { method: 'POST', body })).status,
    JSON.stringify({ edit }),
  );
const undoElsewhere = (): Promise<number> =>
  there.evaluate(async () => (await fetch('/api/inks/1/undo', { method: 'POST', body: '{}' })).status);
const field = (name: string) => page.getByRole('textbox', { name, exact: true });
const heading = (name: string) => page.getByRole('heading', { name, exact: true });
const goTo = (hash: string): Promise<void> => page.evaluate((to) => void (location.hash = to), hash);
const saved = (): Promise<void> => page.locator('[data-saving="saved"]').waitFor();
const focused = (): Promise<string> => page.evaluate(() => document.activeElement?.textContent ?? '');

async function choose(id: string): Promise<void> {
  await goTo(`#/ink/1/scans?scan=white&region=${id}`);
  await heading(`Region “${id}”`).waitFor();
}

test('a rename that is answered while the window is loaded anew is followed by the address all the same', async () => {
  await choose('m-white');
  let isTaken: () => void = () => undefined;
  const taken = new Promise<void>((resolve) => (isTaken = resolve));
  // The document comes once the window that goes has heard the answer.
  await page.route(`${new URL(bench.server.url).origin}/`, async (route) => {
    await taken;
    await page.waitForTimeout(300);
    await route.continue();
  });
  await page.route(EDITS, async (route) => {
    const response = await route.fetch();
    await page.waitForTimeout(300);
    await route.fulfill({ response });
    isTaken();
  });
  page.once('dialog', (dialog) => void dialog.accept());
  await field('Name').fill('middling');
  await page.keyboard.press('Enter');
  await page.evaluate(() => location.reload());
  await heading('Region “middling”').waitFor();
  await page.unrouteAll({ behavior: 'wait' });

  // Undo, which this loading of the window has not seen done, gives it its old name, and it stays chosen.
  await page.keyboard.press('Control+z');
  await heading('Region “m-white”').waitFor();
  await expect.poll(() => page.url()).toContain('region=m-white');
});

test('what another window renames stays open here; what it removes is told, and undo brings it back', async () => {
  await choose('b-white');
  const region = (await work()).regions.find((one) => one.region.id === 'b-white')?.region;
  if (!region) throw new Error('no b-white');
  await elsewhere({ edit: 'changeRegion', id: 'b-white', region: { ...region, id: 'broad' } });
  await heading('Region “broad”').waitFor();
  await expect.poll(() => page.url()).toContain('region=broad');
  // Kept as a bookmark, and opened where nobody saw the rename.
  await goTo('#/ink/1/findings?finding=shading(b-white)');
  await page.evaluate(() => sessionStorage.clear());
  await page.reload();
  await expect.poll(() => page.url()).toContain('finding=shading(broad)');
  await goTo('#/ink/1/scans?scan=white&region=b-white');
  await heading('Region “broad”').waitFor();
  await elsewhere({ edit: 'removeRegions', ids: ['broad'] });
  const told = page.locator('.notice').filter({ hasText: 'Region “broad” was removed in another window.' });
  await told.getByRole('button', { name: 'Undo' }).click();
  await heading('Region “broad”').waitFor();
  await undoElsewhere();
  await heading('Region “b-white”').waitFor();

  await goTo('#/ink/1/scans?scan=yellow');
  await heading('Scan “yellow”').waitFor();
  await elsewhere({ edit: 'changeScan', id: 'yellow', change: { id: 'jaune' } });
  await heading('Scan “jaune”').waitFor();
  await elsewhere({ edit: 'removeScan', id: 'jaune' });
  await page.getByText('Scan “jaune” was removed in another window.').waitFor();
  for (let step = 0; step < 2; step++) await undoElsewhere();
  await heading('Scan “yellow”').waitFor();

  // One that this window removes goes without a word.
  await choose('bare-white');
  await page.getByRole('button', { name: 'Dismiss' }).click();
  await page.getByRole('button', { name: 'Remove', exact: true }).click();
  await saved();
  expect(await page.getByText('was removed in another window').count()).toBe(0);
  await page.keyboard.press('Control+z');
  await page.locator('[data-region="bare-white"]').first().waitFor();
});

test('by Tab one comes past the list of regions without choosing any; a number that is refused is told also once its field has gone', async () => {
  await goTo('#/ink/1/scans?scan=white');
  await heading('Scan “white”').waitFor();
  await page.getByRole('option', { name: /bare-white/ }).waitFor();
  await field('Resolution').fill('0');
  await page.keyboard.press('Tab');
  await expect.poll(focused).toContain('bare-white');
  await page.keyboard.press('ArrowDown');
  await expect.poll(focused).toContain('ef-white');
  await page.getByText('Found 0; expected at least 1 dpi.').waitFor();
  await page.keyboard.press('Tab');
  await expect.poll(focused).toBe('The file');
  await page.keyboard.press('Shift+Tab');
  await page.keyboard.press('Enter');
  await heading('Region “ef-white”').waitFor();
  await page
    .getByText('A change could not be kept: Resolution of scan “white”: Found 0; expected at least 1 dpi.')
    .waitFor();

  await field('Nib width').fill('5000');
  await goTo('#/ink/1/scans?scan=white&region=m-white');
  await page.getByText('Nib width of “ef-white”: Found 5000; expected at most 100 mm.').waitFor();
  await field('Name').fill('a/b');
  await goTo('#/shelf');
  await heading('Shelf').waitFor();
  await page.getByText(/Name of “m-white”: “a\/b” has a slash/).waitFor();
});

test('a name that one region gave up and another took is two regions’, and what is typed for one is not the other’s', async () => {
  await choose('ef-white');
  await field('Name').fill('first');
  await page.keyboard.press('Enter');
  await heading('Region “first”').waitFor();
  await saved();
  await choose('m-white');
  await field('Name').fill('ef-white');
  await page.keyboard.press('Enter');
  await heading('Region “ef-white”').waitFor();
  await saved();
  await choose('first');
  const paper = page.getByRole('combobox', { name: /^Paper/ });
  await paper.fill('of the first');
  await choose('ef-white');
  expect(await paper.inputValue()).toBe('');
  await saved();
  const papers = (await work()).regions.map(({ region }) => [region.id, region.paper]);
  expect(papers).toContainEqual(['first', 'of the first']);
  expect(papers).toContainEqual(['ef-white', undefined]);
});

test('a pinned colour outlives its scan’s new name, a reload, and an answer that got lost', async () => {
  await goTo('#/ink/1/scans?scan=yellow');
  await heading('Scan “yellow”').waitFor();
  await page.locator('.viewer-overview').first().waitFor();
  let lost = 0;
  await page.route(PROBES, (route) => (lost++ === 0 ? route.abort() : route.continue()));
  await page.keyboard.press('p');
  await page.keyboard.press('n');
  const pin = page.locator('.pin-row');
  const figure = pin.getByText('±').first();
  await figure.waitFor();
  expect(lost).toBeGreaterThan(1);
  expect(await pin.locator('.notice').count()).toBe(0);
  // The map of differences from it: nothing over the pin's own colour, a veil over what is far from it.
  await page.keyboard.press('e');
  const map = page.locator('canvas.heat-map');
  await expect.poll(async () => (await map.evaluate(alphasOf)).most).toBeGreaterThan(60);
  expect((await map.evaluate(alphasOf)).least).toBe(0);
  await page.keyboard.press('e');
  await map.waitFor({ state: 'detached' });
  await page.keyboard.press('Escape');
  await field('Name').fill('jaune');
  await page.keyboard.press('Enter');
  await pin.getByText('jaune, at').waitFor();
  const before = await pin.textContent();
  await saved();
  await page.reload();
  await figure.waitFor();
  expect(await pin.textContent()).toBe(before);
  await pin.getByRole('button', { name: 'Remove' }).click();
  await pin.waitFor({ state: 'detached' });
  await page.reload();
  await heading('Scan “jaune”').waitFor();
  expect(await pin.count()).toBe(0);
});

/** The least and the most opaque pixel of a canvas, 0..255. */
function alphasOf(canvas: Element): { least: number; most: number } {
  if (!(canvas instanceof HTMLCanvasElement)) throw new Error('no canvas');
  const read = new OffscreenCanvas(canvas.width, canvas.height).getContext('2d');
  if (!read) throw new Error('no canvas to read from');
  read.drawImage(canvas, 0, 0);
  const alphas = read.getImageData(0, 0, canvas.width, canvas.height).data.filter((_, i) => i % 4 === 3);
  return { least: alphas.reduce((a, b) => Math.min(a, b), 255), most: alphas.reduce((a, b) => Math.max(a, b), 0) };
}
