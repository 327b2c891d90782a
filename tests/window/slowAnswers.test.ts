/** A machine that is busy with something else: answers come late, or not at all, and the page is drawn some time after the hand has moved on. */
import type { Page, Route } from 'playwright-core';
import { afterEach, beforeAll, expect, test } from 'vitest';
import type { SheetRegion, Shelf, Work } from '../../electron/backend/api.ts';
import { running } from './running.ts';
import { type OpenedWindow, openWindow } from './startWindow.ts';

const bench = running('slow-answers');
let opened: OpenedWindow;
let page: Page;

const EDITS = /\/api\/inks\/1\/(edits|undo|redo)$/;
const LATE_MS = 250;

beforeAll(async () => {
  opened = await openWindow(bench.browser, bench.server.url);
  page = opened.page;
  await page.getByText('Curlew Midnight').first().waitFor();
});

afterEach(async () => {
  await page.unroute(EDITS);
  await page.unroute(/\/api\/inks\/1$/);
});

const work = (): Promise<Work> => page.evaluate(async (): Promise<Work> => (await fetch('/api/inks/1')).json());
const region = async (id: string): Promise<SheetRegion | undefined> =>
  (await work()).regions.find((one) => one.region.id === id)?.region;
const field = (name: string) => page.getByRole('textbox', { name, exact: true });
const combo = (name: string | RegExp) => page.getByRole('combobox', { name });
const chosen = (id: string) => page.getByRole('heading', { name: `Region “${id}”` });
const focused = (): Promise<string> =>
  page.evaluate(() => {
    const { activeElement } = document;
    return activeElement instanceof HTMLInputElement ? (activeElement.labels?.[0]?.textContent ?? '') : '';
  });
const goTo = (address: string): Promise<void> => page.evaluate((hash) => void (location.hash = hash), address);
const saved = (): Promise<void> => page.locator('[data-saving="saved"]').waitFor();

async function late(route: Route): Promise<void> {
  await new Promise((resolve) => setTimeout(resolve, LATE_MS));
  await route.continue();
}
async function answersLate(): Promise<void> {
  await page.route(EDITS, late);
}

async function isSlow(rate: number): Promise<void> {
  const devTools = await opened.context.newCDPSession(page);
  await devTools.send('Emulation.setCPUThrottlingRate', { rate });
  await devTools.detach();
}

/** Its form, and nothing in a field. */
async function choose(id: string): Promise<void> {
  await goTo('#/ink/1/scans?scan=white');
  await chosen(id).waitFor({ state: 'detached' });
  await goTo(`#/ink/1/scans?scan=white&region=${id}`);
  await chosen(id).waitFor();
}

test('undo takes back all presses of the arrows, also those that wait for an answer; redo at once brings them back', async () => {
  await choose('ef-white');
  const [left = 0] = (await region('ef-white'))?.boxMm ?? [];
  await answersLate();
  for (let press = 0; press < 4; press++) await page.keyboard.press('ArrowRight');
  await page.keyboard.press('Control+z');
  await expect.poll(async () => (await work()).redo).toBe('move region “ef-white”');
  await saved();
  // A very busy machine makes more than one step of them.
  expect((await region('ef-white'))?.boxMm?.[0]).toBeLessThan(left + 0.35);
  await page.keyboard.press('Control+y');
  await page.keyboard.press('Control+z');
  await page.keyboard.press('Control+y');
  await expect.poll(async () => (await region('ef-white'))?.boxMm?.[0]).toBeCloseTo(left + 0.4, 6);
  await saved();
  expect(await work()).toMatchObject({ undo: 'move region “ef-white”', redo: null });
});

test('a drag that Escape gives up loses none of the presses before it, and nothing of it is sent', async () => {
  await choose('ef-white');
  const [left = 0] = (await region('ef-white'))?.boxMm ?? [];
  await answersLate();
  const mark = await page.locator('[data-region="ef-white"]').first().boundingBox();
  const [x, y] = [(mark?.x ?? 0) + (mark?.width ?? 0) / 2, (mark?.y ?? 0) + (mark?.height ?? 0) / 2];
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowRight');
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 40, y + 30, { steps: 3 });
  await saved();
  await page.keyboard.press('Escape');
  await page.mouse.up();
  await saved();
  expect((await region('ef-white'))?.boxMm?.[0]).toBeCloseTo(left + 0.2, 6);
});

test('fields that are filled one after another keep what stands in each, and every press on a number counts', async () => {
  await choose('m-white');
  await isSlow(16);
  await combo('Nib').fill('stub');
  await page.keyboard.press('Tab');
  await page.keyboard.type('0.7');
  await page.keyboard.press('Tab');
  await page.keyboard.type('laid');
  await page.keyboard.press('Tab');
  await field('Nib width').focus();
  for (let press = 0; press < 5; press++) await page.keyboard.press('ArrowUp');
  await expect.poll(async () => region('m-white')).toMatchObject({ nib: 'stub', nibWidthMm: 0.75, paper: 'laid' });
  await isSlow(1);
  expect(await field('Nib width').inputValue()).toBe('0.75');
});

test('while a name is on its way the form stays, with the focus, and what is typed on', async () => {
  await choose('b-white');
  await answersLate();
  await field('Name').fill('broad');
  await page.keyboard.press('Enter');
  await combo('Nib').focus();
  await page.keyboard.press('Control+a');
  await page.keyboard.type('BB');
  await expect.poll(async () => page.evaluate(() => location.hash)).toContain('region=broad');
  expect([await focused(), await combo('Nib').inputValue()]).toEqual(['Nib', 'BB']);
  await page.keyboard.press('Enter');
  await page.keyboard.type('B');
  await expect.poll(async () => region('broad')).toMatchObject({ nib: 'BB' });
  await saved();
  // Typed on after Enter; by the browser's way back nobody leaves a field, yet nothing typed is lost.
  expect(await combo('Nib').inputValue()).toBe('BBB');
  await goTo('#/shelf');
  await expect.poll(async () => region('broad')).toMatchObject({ nib: 'BBB' });

  await choose('broad');
  // Escape takes back what is typed, also where it is no known name.
  await combo('Nib').fill('B of nobody');
  // Else the first press shuts the list, which goes by itself once no name fits.
  await expect.poll(() => combo('Nib').getAttribute('aria-expanded')).toBe('false');
  await page.keyboard.press('Escape');
  await expect.poll(() => combo('Nib').inputValue()).toBe('BBB');

  // Named, and another region taken at once: that one stays chosen.
  await field('Name').fill('b-white');
  await page.keyboard.press('Enter');
  await goTo('#/ink/1/scans?scan=white&region=bare-white');
  await chosen('bare-white').waitFor();
  await saved();
  expect(page.url()).toContain('region=bare-white');
  expect(await region('b-white')).toMatchObject({ nib: 'BBB' });

  await goTo('#/ink/1/scans?scan=white');
  await field('Resolution').focus();
  for (let press = 0; press < 3; press++) await page.keyboard.press('ArrowUp');
  await expect.poll(async () => (await work()).scans.find(({ id }) => id === 'white')?.dpi).toBe(303);
});

test('what has no answer when the window is loaded anew is done all the same, once', async () => {
  await choose('ef-white');
  const [left = 0, top = 0] = (await region('ef-white'))?.boxMm ?? [];
  let sent = 0;
  await page.route(EDITS, async (route) => {
    // The first is carried out, and its answer gets lost.
    if (sent++ === 0) await route.fetch();
    await route.abort();
  });
  await page.locator('[data-region="ef-white"]').first().focus();
  for (const key of ['ArrowRight', 'ArrowRight', 'ArrowRight', 'ArrowDown']) await page.keyboard.press(key);
  await combo(/^Paper/).fill('of before');
  page.once('dialog', (dialog) => void dialog.accept());
  await page.reload();
  // Still no answer: the page shows it as it was, and that it is not saved.
  await page.getByText(`Box: ${(left + 0.3).toFixed(1)}, ${(top + 0.1).toFixed(1)}, `).waitFor();
  expect(await combo(/^Paper/).inputValue()).toBe('of before');
  await page.unroute(EDITS);
  // On a slow machine the next try by itself may be quicker than a hand.
  await page
    .getByRole('button', { name: 'Save again' })
    .evaluateAll((all: HTMLElement[]) => all.forEach((button) => button.click()));
  await expect.poll(async () => region('ef-white')).toMatchObject({ paper: 'of before' });
  const box = (await region('ef-white'))?.boxMm;
  expect(box?.[0]).toBeCloseTo(left + 0.3, 6);
  expect(box?.[1]).toBeCloseTo(top + 0.1, 6);
  await saved();
  expect(await page.evaluate(() => sessionStorage.getItem('wetline.unsent'))).toBeNull();

  // Who presses before the work has come means what is there then.
  let come: () => void = () => undefined;
  const isPressed = new Promise<void>((resolve) => (come = resolve));
  await page.route(/\/api\/inks\/1$/, (route) => isPressed.then(() => route.continue()), { times: 1 });
  await page.reload();
  await page.getByRole('heading', { name: 'Opening…' }).waitFor();
  await page.keyboard.press('Control+z');
  come();
  await expect.poll(async () => (await work()).redo).toBe('set the paper of “ef-white”');
});

test('a change that got lost does not come after what was done next; an answer that fails leaves the page standing', async () => {
  await choose('swab-even-white');
  // What the field alone can read is given up like any other number.
  await field('Nib width').fill('１２');
  await page.keyboard.press('Escape');
  expect(await field('Nib width').inputValue()).toBe('');
  let lost = 0;
  await page.route(EDITS, (route) => (lost++ === 0 ? route.abort() : route.continue()));
  await combo(/^Paper/).fill('first');
  await page.keyboard.press('Enter');
  await page.getByText('The last change is not saved').waitFor();
  await combo(/^Paper/).fill('second');
  await page.keyboard.press('Enter');
  await page.getByText('The last change is not saved').waitFor({ state: 'detached' });
  await saved();
  expect(await region('swab-even-white')).toMatchObject({ paper: 'second' });
  expect(await region('swab-even-white')).not.toHaveProperty('nibWidthMm');

  let asked = 0;
  await page.route(/\/api\/inks\/1$/, (route) =>
    asked++ === 0
      ? route.fulfill({ status: 503, json: { code: 'given-up', message: 'Ask again.' } })
      : route.continue(),
  );
  await combo(/^Paper/).fill('of nobody');
  // Another window's change: this one asks for the work.
  const elsewhere = await page.evaluate(async () => {
    const edit = { edit: 'changeScan', id: 'white', change: { paper: 'of another window' } };
    const answer = await fetch('/api/inks/1/edits', { method: 'POST', body: JSON.stringify({ edit }) });
    return answer.status;
  });
  expect(elsewhere).toBe(200);
  await page.getByText('of another window').first().waitFor();
  expect([asked > 1, await combo(/^Paper/).inputValue()]).toEqual([true, 'of nobody']);
});

test('a new ink that got no answer is made at the next press, once', async () => {
  await goTo('#/');
  let asked = 0;
  await page.route(/\/api\/inks$/, async (route) => {
    if (asked++ > 0) return route.continue();
    await page.getByRole('button', { name: 'Make the ink…', exact: true }).waitFor();
    await route.fetch();
    return route.abort();
  });
  await page.getByRole('button', { name: 'New ink' }).click();
  await field('Name of the ink').fill('Heron');
  await page.keyboard.press('Enter');
  await page.getByText('Wetline does not answer').waitFor();
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: 'Heron', level: 1 }).waitFor();
  const shelf = await page.evaluate(async (): Promise<Shelf> => (await fetch('/api/shelf')).json());
  expect(shelf.inks.filter(({ name }) => name === 'Heron')).toHaveLength(1);
});

test('a tile that does not come is said beside the picture', async () => {
  await goTo('#/ink/1/scans?scan=white');
  await page.locator('img.viewer-overview').first().waitFor();
  const said = page.getByText(/did not come and is unsharp/);
  expect(await said.count()).toBe(0);
  await page.route(/\/tiles\//, (route) => route.abort());
  for (let times = 0; times < 5; times++) await page.keyboard.press('+');
  await said.waitFor();
  await page.unroute(/\/tiles\//);
});

test('while measuring is asked for its button says so, and asks once', async () => {
  await goTo('#/ink/1/scans?scan=white');
  let asked = 0;
  await page.route(/\/measure$/, async (route) => {
    asked++;
    await page.getByRole('button', { name: 'Measure starting…' }).waitFor();
    return route.abort();
  });
  await page.getByRole('button', { name: /^Measure (\d|all)/ }).dblclick();
  await page.getByRole('button', { name: /^Measure (\d|all)/ }).waitFor();
  expect(asked).toBe(1);
  await page.unroute(/\/measure$/);
});
