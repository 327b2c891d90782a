/** Two windows on one library, and answers that come late, get lost or fail: nothing that was done in either is lost unsaid. */
import type { Page } from 'playwright-core';
import { afterEach, beforeAll, expect, test } from 'vitest';
import type { SheetRegion, Work } from '../../electron/backend/api.ts';
import { running } from './running.ts';
import { openWindow } from './startWindow.ts';

const bench = running('two-windows');
let here: Page;
let there: Page;

const WORK = /\/api\/inks\/1$/;
const SAVES = /\/api\/inks\/1\/(edits|undo|redo)$/;

beforeAll(async () => {
  [here, there] = [
    (await openWindow(bench.browser, bench.server.url)).page,
    (await openWindow(bench.browser, bench.server.url)).page,
  ];
  for (const page of [here, there]) await page.getByText('Curlew Midnight').first().waitFor();
});

afterEach(async () => {
  await Promise.all([here, there].map((page) => page.unrouteAll({ behavior: 'wait' })));
});

const work = (): Promise<Work> => there.evaluate(async (): Promise<Work> => (await fetch('/api/inks/1')).json());
const region = async (id: string): Promise<SheetRegion | undefined> =>
  (await work()).regions.find((one) => one.region.id === id)?.region;
const combo = (page: Page, name: string | RegExp) => page.getByRole('combobox', { name });
const saved = (page: Page): Promise<void> => page.locator('[data-saving="saved"]').waitFor();

async function choose(page: Page, id: string, by = '#/ink/1/scans?scan=white'): Promise<void> {
  const heading = page.getByRole('heading', { name: `Region “${id}”` });
  await page.evaluate((hash) => void (location.hash = hash), by);
  await heading.waitFor({ state: 'detached' });
  await page.evaluate((hash) => void (location.hash = hash), `#/ink/1/scans?scan=white&region=${id}`);
  await heading.waitFor();
}

async function say(page: Page, field: string | RegExp, text: string): Promise<void> {
  await combo(page, field).fill(text);
  await page.keyboard.press('Enter');
  await saved(page);
}

/** Such requests of the page wait. @returns lets them through */
async function held(page: Page, requests: RegExp): Promise<() => void> {
  let letThrough = (): void => undefined;
  const gate = new Promise<void>((resolve) => {
    letThrough = resolve;
  });
  await page.route(requests, async (route) => {
    await gate;
    await route.continue();
  });
  return letThrough;
}

test('fields that two windows change beside each other are both kept; of one field the later is, and undo brings back the other', async () => {
  await choose(here, 'ef-white');
  await choose(there, 'ef-white');
  const hear = await held(here, WORK);
  await say(there, /^Paper/, 'laid');
  await say(here, 'Nib', 'XF');
  expect(await region('ef-white')).toMatchObject({ paper: 'laid', nib: 'XF' });
  await saved(there);
  await say(there, 'Nib', 'stub');
  await say(here, 'Nib', 'BB');
  const notice = here.getByText('The nib of “ef-white” was changed in another window meanwhile; yours is kept.');
  await notice.waitFor();
  expect(await region('ef-white')).toMatchObject({ paper: 'laid', nib: 'BB' });
  await here.locator('.notice').filter({ has: notice }).getByRole('button', { name: 'Undo' }).click();
  await expect.poll(async () => region('ef-white')).toMatchObject({ paper: 'laid', nib: 'stub' });
  await notice.waitFor({ state: 'detached' });
  hear();
});

test('undo takes nothing back that another window did and this one has not shown', async () => {
  await choose(here, 'm-white');
  await here.locator('[data-region="m-white"]').first().focus();
  await here.keyboard.press('ArrowRight');
  await saved(here);
  const hear = await held(here, WORK);
  await choose(there, 'm-white');
  await say(there, /^Paper/, 'wove');
  await here.keyboard.press('Control+z');
  await here.getByText('Another window was quicker').first().waitFor();
  expect(await region('m-white')).toMatchObject({ paper: 'wove' });
  hear();
  await here.getByRole('button', { name: /^Undo.*paper of “m-white”/ }).click();
  await expect.poll(async () => (await region('m-white'))?.paper).not.toBe('wove');
});

test('a press of the arrows while an undo has no answer goes on from where the undo leads', async () => {
  await choose(here, 'b-white');
  const [left = 0] = (await region('b-white'))?.boxMm ?? [];
  await here.keyboard.press('Shift+ArrowRight');
  await saved(here);
  const answer = await held(here, SAVES);
  await here.keyboard.press('Control+z');
  await here.keyboard.press('ArrowRight');
  await here.keyboard.press('ArrowRight');
  answer();
  await saved(here);
  expect((await region('b-white'))?.boxMm?.[0]).toBeCloseTo(left + 0.2, 6);
  expect(await here.getByText('in another window').count()).toBe(0);
});

test('a change that failed while the program still speaks is saved by itself; one whose answer got lost is carried out once', async () => {
  await choose(here, 'b-white');
  const [left = 0, top = 0] = (await region('b-white'))?.boxMm ?? [];
  let isUp = false;
  await here.route(SAVES, (route) => (isUp ? route.continue() : route.abort()));
  await here.locator('[data-region="b-white"]').first().focus();
  await here.keyboard.press('ArrowDown');
  await here.getByText('This window tries again by itself').waitFor();
  // What waits stays in sight, also when its page was left meanwhile, and what is done next goes on from there.
  await choose(here, 'b-white', '#/shelf');
  await here.locator('[data-region="b-white"]').first().focus();
  await here.keyboard.press('ArrowRight');
  await here.keyboard.press('ArrowRight');
  isUp = true;
  // Unless it has been tried by then.
  await here.evaluate(() =>
    [...document.querySelectorAll('button')].find((b) => b.textContent === 'Save again')?.click(),
  );
  await saved(here);
  expect((await region('b-white'))?.boxMm?.[1]).toBeCloseTo(top + 0.1, 6);
  expect((await region('b-white'))?.boxMm?.[0]).toBeCloseTo(left + 0.2, 6);
  expect(await here.getByText(/in another window|does not answer/).count()).toBe(0);
  await here.unroute(SAVES);

  // What is let go leaves nothing, nor does what was to follow.
  await here.route(SAVES, (route) => route.abort());
  await combo(here, /^Paper/).fill('of nobody');
  await here.keyboard.press('Enter');
  await here.locator('[data-region="b-white"]').first().focus();
  await here.keyboard.press('ArrowDown');
  await here.keyboard.press('ArrowDown');
  await here.getByText('2 changes are not saved').waitFor();
  await here.getByRole('button', { name: 'Let it go' }).click();
  await saved(here);
  await here.unroute(SAVES);
  await choose(here, 'b-white');
  expect(await combo(here, /^Paper/).inputValue()).toBe('');
  expect((await region('b-white'))?.boxMm?.[1]).toBeCloseTo(top + 0.1, 6);
  expect(await region('b-white')).not.toHaveProperty('paper');

  const before = (await work()).regions.length;
  let lost = 0;
  await here.route(SAVES, async (route) => {
    if (lost++ > 0) return route.continue();
    await route.fetch();
    return route.abort();
  });
  await here.locator('[data-region="b-white"]').first().focus();
  await here.keyboard.press('d');
  await here.locator('[data-saving="failed"]').waitFor();
  await saved(here);
  expect([(await work()).regions.length, lost > 1]).toEqual([before + 1, true]);
});

test('what is typed outlives another window’s change of it; what was done to a thing removed there, or an ink put away, is kept', async () => {
  await choose(here, 'swab-even-white');
  await combo(here, /^Paper/).fill('typed here');
  await choose(there, 'swab-even-white');
  await say(there, /^Paper/, 'said there');
  await here.getByText('By now it is “said there”').waitFor();
  expect(await combo(here, /^Paper/).inputValue()).toBe('typed here');
  await there.evaluate(async () => {
    const edit = { edit: 'removeRegions', ids: ['swab-even-white'] };
    await fetch('/api/inks/1/edits', { method: 'POST', body: JSON.stringify({ edit }) });
  });
  await here.getByText('was removed in another window meanwhile; with your change it is here again').waitFor();
  expect(await region('swab-even-white')).toMatchObject({ paper: 'typed here' });

  await choose(here, 'm-white');
  const width = (page: Page) => page.getByRole('textbox', { name: 'Nib width', exact: true });
  await width(here).fill('1.');
  await choose(there, 'm-white');
  await width(there).fill('0.9');
  await there.keyboard.press('Enter');
  await here.getByText('By now it is “0.9”').waitFor();
  await width(here).press('2');
  await here.route(SAVES, (route) => route.fulfill({ status: 422, json: { code: 'no', message: 'Not so.' } }));
  await here.keyboard.press('Enter');
  await here.getByText('Not so.').first().waitFor();
  expect(await width(here).inputValue()).toBe('1.2');
  await here.unroute(SAVES);
  await here.keyboard.press('Enter');
  await expect.poll(async () => region('m-white')).toMatchObject({ nibWidthMm: 1.2 });
  await width(here).fill('7');
  await here.keyboard.press('Escape');
  expect(await width(here).inputValue()).toBe('1.2');
  await combo(here, /^Paper/).fill('for later');
  await there.evaluate(() => fetch('/api/inks/1', { method: 'DELETE' }));
  await here.getByText('The last change is not saved: no ink 1 on the shelf').waitFor();
  await here.getByRole('button', { name: 'Put it back' }).click();
  await expect.poll(async () => region('m-white')).toMatchObject({ paper: 'for later' });
});

test('an ink off the shelf is put back from the shelf’s foot, by a window that did not take it off', async () => {
  await there.evaluate(() => fetch('/api/inks/1', { method: 'DELETE' }));
  await there.evaluate(() => void (location.hash = '#/'));
  await there.getByText('1 ink off the shelf').click();
  await there.getByRole('button', { name: 'Put “Curlew Midnight” back' }).click();
  await there.getByRole('heading', { name: 'Curlew Midnight' }).waitFor();
  expect(await region('m-white')).toMatchObject({ paper: 'for later' });
});

test('the windows of one browser share one stream of events, and the next takes it over when the first is closed', async () => {
  const context = here.context();
  const streams: string[] = [];
  context.on('request', (request) => {
    if (request.url().endsWith('/api/events')) streams.push(request.frame().url());
  });
  const second = await context.newPage();
  await second.goto(`${new URL(bench.server.url).origin}/#/ink/1/scans?scan=white&region=b-white`);
  const paper = (name: string) =>
    there.evaluate(async (said) => {
      const edit = { edit: 'changeScan', id: 'white', change: { paper: said } };
      await fetch('/api/inks/1/edits', { method: 'POST', body: JSON.stringify({ edit }) });
    }, name);
  await second.getByRole('heading', { name: 'Region “b-white”' }).waitFor();
  await paper('heard through the first');
  await second.getByText('heard through the first').first().waitFor();
  expect(streams).toEqual([]);
  await here.close();
  await expect.poll(() => streams.length).toBe(1);
  await paper('heard by itself');
  await second.getByText('heard by itself').first().waitFor();
  here = second;
});
