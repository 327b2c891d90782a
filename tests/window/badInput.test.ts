/** What goes wrong is said in words, beside the thing, with what to do. */
import { mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { afterAll, expect, test } from 'vitest';
import { violations } from './accessible.ts';
import { running } from './running.ts';
import { chooseFiles, openWindow, picture, startServer, temporaryFolder } from './startWindow.ts';

const SAMPLES = fileURLToPath(new URL('../../sample-scans', import.meta.url));
const bench = running('bad-input');
const desk = temporaryFolder('desk');
afterAll(() => desk.remove());

test('files that are no scans, a page cut short, a grey scan, and the same scan twice', async () => {
  const grey = join(desk.path, 'grey.png');
  await sharp({ create: { width: 64, height: 64, channels: 3, background: '#888' } })
    .toColourspace('b-w')
    .png()
    .toFile(grey);
  const cut = join(desk.path, 'cut.tif');
  const whole = await sharp({ create: { width: 200, height: 200, channels: 3, background: '#888' } })
    .tiff()
    .toBuffer();
  writeFileSync(cut, whole.subarray(0, whole.length >> 1));
  const letter = join(desk.path, 'letter.txt');
  writeFileSync(letter, 'Dear shop, please send the ink again.\n');
  const moved = join(desk.path, 'moved.png');
  writeFileSync(moved, 'moved before its turn comes');
  const { page, context } = await openWindow(bench.browser, bench.server.url);
  // The sample alone on the shelf: what comes next stands beside it, until there is an ink of one's own.
  await page
    .getByRole('region', { name: 'An ink of your own' })
    .getByRole('button', { name: 'Bring scans…' })
    .waitFor();
  await page.goto(`${new URL(page.url()).origin}/#/ink/1/scans`);
  await page.getByRole('heading', { name: /^Scan “/ }).waitFor();
  await page.route(/uploads\?name=cut/, (route) => {
    rmSync(moved);
    return route.continue();
  });
  await chooseFiles(page, [grey, cut, letter, moved, join(SAMPLES, 'yellow.png')]);
  const tray = page.getByRole('region', { name: 'Files that you brought' });
  await tray.getByText(/grey image/).waitFor();
  await tray.getByText(/already/).waitFor();
  const words = (await tray.textContent()) ?? '';
  // What is said by the way lies over the tray, not over its words.
  const said = await page.locator('.said').evaluate((element) => element.getBoundingClientRect().bottom);
  expect(said).toBeLessThan((await tray.boundingBox())?.y ?? 0);
  expect(words).toMatch(/grey image/);
  expect(words).toMatch(/cut\.tif/);
  expect(words).toMatch(/letter\.txt/);
  expect(words).toMatch(/already/);
  expect(words).toMatch(/moved\.pngcan no longer be read: .* Bring it in again\./);
  // None of them would get there another time.
  expect(await tray.getByRole('button', { name: 'Send again' }).count()).toBe(0);
  await picture(page, 'bad-files-1280');
  expect(await violations(page)).toEqual([]);
  await context.close();
});

test('a target with another target’s values is refused, said with what to do, and other files can be chosen at once', async () => {
  // The sample's reference with its coloured patches in another order.
  const text = readFileSync(join(SAMPLES, 'reference.txt'), 'utf8');
  const values = [...text.matchAll(/^C\d\d\t(.+)$/gm)].map((line) => line[1]);
  let next = 0;
  const wrong = text.replaceAll(/^(C\d\d)\t.+$/gm, (_line, id: string) => `${id}\t${values[(next++ * 31 + 17) % 72]}`);
  const folder = join(desk.path, 'wrong');
  mkdirSync(folder);
  writeFileSync(join(folder, 'wrong-reference.txt'), wrong);
  const { page, context } = await openWindow(bench.browser, bench.server.url);
  await page.getByRole('button', { name: 'New ink' }).click();
  await page.getByLabel('Name of the ink').fill('Teal of Two Tides');
  await page.getByRole('button', { name: 'Make the ink' }).click();
  await page.getByText('Lay the page square on the scanner').waitFor();
  await chooseFiles(page, [
    join(SAMPLES, 'target.png'),
    join(SAMPLES, 'layout.json'),
    join(folder, 'wrong-reference.txt'),
  ]);
  await page.getByRole('navigation', { name: 'Scans of this ink' }).getByText('target', { exact: true }).click();
  await page.getByText('Find a target on this scan').click();
  // What was just brought is proposed.
  await page.getByRole('button', { name: 'Find the target here' }).click();
  const target = page.getByRole('region', { name: 'Target', exact: true });
  await target.getByText(/reference belongs to another target/).waitFor({ timeout: 100_000 });
  await page
    .getByText(/colours .*since its target cannot be used/)
    .first()
    .waitFor();
  await picture(page, 'other-target-1280');
  expect(await violations(page)).toEqual([]);
  await target.getByRole('button', { name: 'Choose other files' }).click();
  await target.getByRole('button', { name: 'Use these files' }).waitFor();
  await context.close();
});

test('two windows on one library stay in step', async () => {
  const one = await openWindow(bench.browser, bench.server.url);
  const two = await openWindow(bench.browser, bench.server.url);
  for (const { page } of [one, two]) {
    await page.goto(`${new URL(page.url()).origin}/#/ink/1/scans?scan=white&region=bare-white`);
    await page.locator('[data-region="bare-white"]').waitFor();
  }
  const form = one.page.getByRole('region', { name: /^Region/ });
  await form.getByRole('textbox', { name: 'Name' }).fill('paper-of-page');
  await form.getByRole('textbox', { name: 'Name' }).press('Enter');
  await two.page.locator('[data-region="paper-of-page"]').waitFor();
  await one.page.keyboard.press('Escape');
  await one.page.getByRole('button', { name: /^Undo/ }).click();
  await two.page.locator('[data-region="bare-white"]').waitFor();
  expect(await two.page.locator('[data-region="paper-of-page"]').count()).toBe(0);
  expect([...one.complaints, ...two.complaints]).toEqual([]);
  await one.context.close();
  await two.context.close();
});

test('an ink that is not there, and a page whose files have gone, are told in words; loading again opens it', async () => {
  const { page, context, complaints } = await openWindow(bench.browser, bench.server.url);
  await page.goto(`${new URL(page.url()).origin}/#/ink/77/findings`);
  await page.getByText('No ink 77 is on the shelf').waitFor();
  expect(complaints).toEqual([]);
  await page.getByRole('button', { name: 'Go to the shelf' }).click();
  await page.getByRole('heading', { name: 'Shelf' }).waitFor();
  expect(await page.getByRole('region', { name: 'An ink of your own' }).count()).toBe(0);
  // As after an upgrade: the names that this window knows lead nowhere.
  await page.route(/assets\/StripsPage/, (route) => route.fulfill({ status: 404, body: 'There is no such file.' }));
  await page.evaluate(() => {
    window.location.hash = '#/ink/1/strips';
  });
  await page.getByText('This page did not come').waitFor();
  await picture(page, 'page-lost-1280');
  expect(await violations(page)).toEqual([]);
  await page.unroute(/assets\/StripsPage/);
  await page.getByRole('button', { name: 'Load the window again' }).click();
  await page.getByRole('button', { name: 'Add a band' }).waitFor();
  await context.close();
});

test('by keys alone: what closes gives the focus back, and what is taken away leaves it with the part that it lay in', async () => {
  const { page, context } = await openWindow(bench.browser, bench.server.url);
  const focused = () =>
    page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? document.activeElement?.textContent);
  for (const field of ['Name of the ink', 'Maker (may stay empty)']) {
    await page.getByRole('button', { name: 'New ink' }).press('Enter');
    await page.getByLabel(field).press('Escape');
    await expect.poll(focused).toBe('New ink');
  }
  await page.goto(`${new URL(page.url()).origin}/#/ink/1/scans?scan=white&region=bare-white`);
  await page.getByRole('button', { name: 'Remove', exact: true }).press('Enter');
  await expect.poll(focused).toBe('What is chosen');
  await page.keyboard.press('Control+Z');
  await page.locator('[data-region="bare-white"]').waitFor();
  await context.close();
});

test('a scan whose file has gone says so where it lay', async () => {
  await bench.server.stop();
  const store = join(bench.library, 'scans');
  for (const file of readdirSync(store, { recursive: true, withFileTypes: true })) {
    if (file.isFile() && file.name.endsWith('.png')) rmSync(join(file.parentPath, file.name));
  }
  rmSync(join(bench.library, 'cache'), { recursive: true, force: true });
  mkdirSync(join(bench.library, 'cache'));
  bench.server = await startServer(bench.library);
  const { page, context } = await openWindow(bench.browser, bench.server.url);
  await page.goto(`${new URL(page.url()).origin}/#/ink/1/scans?scan=white`);
  await page
    .getByText(/its file is (gone|not)|file .*(gone|missing|no longer)/i)
    .first()
    .waitFor();
  await picture(page, 'file-gone-1280');
  expect(await violations(page)).toEqual([]);
  await context.close();
});

test('a port in use and a library in use are told in one line', async () => {
  const taken = createServer();
  const port = await new Promise<number>((resolve) => {
    taken.listen(0, '127.0.0.1', () => {
      const address = taken.address();
      resolve(address !== null && typeof address === 'object' ? address.port : 0);
    });
  });
  const other = temporaryFolder('other');
  await expect(startServer(other.path, '--port', String(port))).rejects.toThrow(/port \d+ is (already )?in use/);
  taken.close();
  other.remove();
  const second = await startServer(bench.library);
  expect(second.url).toBe(bench.server.url);
  expect(second.said()).toMatch(/already/);
});
