/** The first start: an invented ink, measured before one's eyes, and every page of the window fit to be seen and heard. */
import { readFileSync } from 'node:fs';
import type { Locator, Page } from 'playwright-core';
import { expect, test } from 'vitest';
import type { Quantity } from '../../analysis/quantity.ts';
import { withUncertainty } from '../../analysis/report/valueText.ts';
import { levelsOf, TILE_SIZE } from '../../electron/view/levels.ts';
import { violations } from './accessible.ts';
import { running } from './running.ts';
import { pixelsSeen, tilesWatched, watchTiles } from './scanSeen.ts';
import { openWindow, picture, pictured, SCREENS } from './startWindow.ts';

const bench = running('first-start', 'empty');

/** As the command line gives it: figure and ±, ready for a pattern. */
function shadingKept(): [value: string, uncertainty: string] {
  const kept: { findings: readonly Quantity[] } = JSON.parse(
    readFileSync(new URL('../main/sample-findings.json', import.meta.url), 'utf8'),
  );
  const shading = kept.findings.find((q) => q.quantity === 'shading' && q.subject.regions[0] === 'b-white')!;
  const [value, uncertainty] = withUncertainty(Number(shading.value), Number(shading.u)).split(' ± ');
  return [value.replace('.', '\\.'), uncertainty.replace('.', '\\.')];
}

test('the shelf holds the sample ink, marked as invented, and it is being measured', async () => {
  const { page, context, complaints } = await openWindow(bench.browser, bench.server.url);
  const tile = page.getByRole('article', { name: 'Curlew Midnight' });
  await tile.waitFor();
  expect(await tile.textContent()).toContain('invented');
  await picture(page, 'shelf-measuring-1280');
  expect(await violations(page)).toEqual([]);
  // The address gives the token away no longer.
  expect(page.url()).not.toContain('token');
  await tile.getByText('Findings done').waitFor({ timeout: 100_000 });
  await picture(page, 'shelf-1280');
  expect(complaints).toEqual([]);
  await context.close();
});

test('the findings are those of the command line, chosen by address and by hand', async () => {
  const { page, context, complaints } = await openWindow(bench.browser, bench.server.url);
  await page.getByRole('link', { name: 'Curlew Midnight', exact: true }).click();
  await page.getByRole('link', { name: /Findings/ }).click();
  const cell = page.locator('[data-finding="shading(b-white)"]');
  await cell.waitFor({ timeout: 100_000 });
  const [value, uncertainty] = shadingKept();
  const told = (await cell.textContent())?.replaceAll(/\s+/g, ' ') ?? '';
  expect(told).toMatch(new RegExp(`${value}.*± ?${uncertainty}.*ΔE00.*clear`));
  await picture(page, 'findings-1280');
  expect(await violations(page)).toEqual([]);
  await cell.click();
  const said = page.locator('.reading-sentence', {
    hasText: new RegExp(`shades by\\s${value}\\s±\\s${uncertainty}\\sΔE00`),
  });
  await said.waitFor();
  expect(decodeURIComponent(page.url())).toContain('finding=shading(b-white)');
  await page.locator('.viewer-marks, svg').first().waitFor();
  await picture(page, 'findings-chosen-1280');
  expect(await violations(page)).toEqual([]);
  await page.reload();
  await said.waitFor();
  await expect.poll(() => page.locator('[data-finding="shading(b-white)"]').getAttribute('aria-pressed')).toBe('true');
  // On a small screen both papers' columns are whole, and the reading is beside its scan.
  await page.setViewportSize({ width: 1024, height: 768 });
  const cut = () =>
    page
      .locator('.findings-table')
      .first()
      .evaluate((table) => table.scrollWidth - table.clientWidth);
  await expect.poll(cut).toBe(0);
  await said.waitFor();
  await picture(page, 'findings-chosen-1024');
  expect(await violations(page)).toEqual([]);
  expect(complaints).toEqual([]);
  await context.close();
});

test('no face has the engine ask the system for another: those that are needed are whole, and no other is begun', async () => {
  const { page, context } = await openWindow(bench.browser, bench.server.url);
  await page.goto(`${new URL(page.url()).origin}/#/ink/1/findings`);
  await page.locator('[data-finding="shading(b-white)"]').waitFor({ timeout: 100_000 });
  const faces = await page.evaluate(() => {
    const name = (family: string) => family.trim().replaceAll(/["']/g, '');
    const asked = getComputedStyle(document.body).fontFamily.split(',').map(name);
    return asked.map((family) =>
      [...document.fonts].filter((face) => name(face.family) === family).map(({ status }) => status),
    );
  });
  expect(faces.slice(0, 3)).toEqual([['loaded'], ['loaded'], ['loaded']]);
  expect([...new Set(faces.slice(3).flat())]).toEqual(['unloaded']);
  await context.close();
});

test('a list of choices opens by keys and by hand, and the focus comes back to it', async () => {
  const { page, context, complaints } = await openWindow(bench.browser, bench.server.url);
  await page.goto(`${new URL(page.url()).origin}/#/ink/1/findings`);
  await page.getByText('all up to date').waitFor({ timeout: 100_000 });
  const list = page.getByRole('button', { name: /Figure shown/ });
  const focused = () => page.evaluate(() => document.activeElement?.textContent ?? '');
  for (const open of [() => list.press('ArrowDown'), () => list.click()]) {
    await open();
    await page.getByRole('option', { name: /^Shading/ }).waitFor();
    await page.keyboard.press('Escape');
    await page.getByRole('option').first().waitFor({ state: 'detached' });
    await expect.poll(focused).toMatch(/^Shading/);
  }
  await list.click();
  const other = page.getByRole('option').nth(3);
  const words = (await other.textContent()) ?? '';
  await other.click();
  await expect.poll(() => list.textContent()).toBe(words);
  expect(complaints).toEqual([]);
  await page.reload();
  // By hand first, which opens it as it is drawn.
  await list.click();
  await page.getByRole('option', { name: /^Shading/ }).waitFor();
  await context.close();
});

/** Whether tiles cover all of the scan that is in view. */
async function isCovered(page: Page): Promise<boolean> {
  return page.locator('.viewer-overview').evaluate((overview) => getComputedStyle(overview).visibility === 'hidden');
}

test('a scan at a px of the screen for each of its own is seen as it is, and lies under its marks in every frame of a move', async () => {
  const opened = await openWindow(bench.browser, bench.server.url);
  const { page, context, complaints } = opened;
  await page.emulateMedia({ reducedMotion: 'no-preference' });
  const scan = `${new URL(page.url()).origin}/#/ink/1/scans?scan=white`;
  await page.goto(scan);
  const width = await page.locator('.viewer-tiles').evaluate((tiles) => tiles.clientWidth);
  await page.goto(`${scan}&at=900,1500,${width}`);
  await expect.poll(() => isCovered(page), { timeout: 40_000 }).toBe(true);
  await pictured(opened);
  const seen = await pixelsSeen(page);
  expect(seen).toEqual({ inView: seen.compared, compared: seen.compared, off: 0 });
  expect(seen.compared).toBeGreaterThan(400_000);
  const [across, down] = await page
    .locator('.viewer-overview')
    .evaluate((overview) => ['width', 'height'].map((side) => Number(overview.getAttribute(side))));
  await watchTiles(page, levelsOf(across, down), TILE_SIZE);
  await page.locator('.viewer-tiles').focus();
  for (const key of ['+', '+', '+', 'ArrowRight', '-', '-', '-', '-', '-', '-']) {
    await page.keyboard.press(key);
    await page.waitForTimeout(100);
  }
  // Half a px, of what is carried along at twice its size.
  const watched = await tilesWatched(page);
  expect(watched.scales).toBeGreaterThan(4);
  expect(watched.off).toBeLessThan(1.1);
  expect(complaints).toEqual([]);
  await context.close();
});

test.each([
  ['small', 'strip-fresh', 'bandPosition(fresh)#1'],
  ['large', 'white', 'nibShading(ef-white,b-white)'],
] as const)('on a %s screen all pages can be used and seen', async (size, scan, finding) => {
  const opened = await openWindow(bench.browser, bench.server.url, SCREENS[size]);
  const { page, context, complaints } = opened;
  const width = SCREENS[size].width;
  /** @param there What shows that the page is there, not the one before. */
  const go = async (address: string, name: string, there: Locator, isHeard: boolean) => {
    await page.goto(`${new URL(page.url()).origin}/#${address}`);
    await there.first().waitFor();
    await pictured(opened);
    await picture(page, `${name}-${width}`);
    expect(isHeard ? await violations(page) : [], name).toEqual([]);
    // Nothing sticks out of the window.
    expect(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth), name).toBeLessThan(1);
  };
  const heading = (name: string) => page.getByRole('heading', { name, exact: true });
  // Where a large screen shows the same elements, once is enough.
  const isFirst = size === 'small';
  await go('/shelf', 'shelf-page', heading('Shelf'), isFirst);
  await go(`/ink/1/scans?scan=${scan}`, 'scans-page', heading(`Scan “${scan}”`), true);
  await expect.poll(() => isCovered(page), { timeout: 40_000 }).toBe(true);
  const before = page.url();
  await page.locator('.viewer-tiles').first().focus();
  await page.keyboard.press('+');
  // The address follows a view that has come to rest.
  await expect.poll(() => page.url(), { timeout: 20_000 }).not.toBe(before);
  await pictured(opened);
  await go('/ink/1/scans?scan=target', 'scans-target', heading('Scan “target”'), isFirst);
  const chosen = `/ink/1/findings?finding=${encodeURIComponent(finding)}`;
  await go(chosen, 'findings-page', page.locator('.reading-title'), true);
  await go('/ink/1/findings?show=plots', 'findings-plots', page.locator('.plot-picture > svg'), isFirst);
  await page.keyboard.press('?');
  await page.getByRole('dialog').waitFor();
  await picture(page, `keys-${width}`);
  expect(isFirst ? await violations(page) : []).toEqual([]);
  expect(complaints).toEqual([]);
  await context.close();
});

test('a search says how many inks it found, what to do when none, and stands as it was after a look at an ink', async () => {
  const { page, context, complaints } = await openWindow(bench.browser, bench.server.url);
  await page.evaluate(async () => {
    for (const name of ['Dusk', 'Élan', 'Reed', 'Saltmarsh', 'Saltmarsh 雨', 'Plover']) {
      const body = JSON.stringify({ name, maker: null, request: `search ${name}` });
      await fetch('/api/inks', { method: 'POST', body, headers: { 'content-type': 'application/json' } });
    }
  });
  const search = page.getByRole('searchbox', { name: 'Search the inks' });
  await search.fill('elan');
  await page.getByRole('status').getByText('1 of 7').waitFor();
  await search.fill('nothing like it');
  await page.getByText('none of 7').waitFor();
  expect(await violations(page)).toEqual([]);
  await page.getByRole('button', { name: 'Show all inks' }).click();
  expect(await page.getByRole('article').count()).toBe(7);
  await page.keyboard.type('saltmarsh');
  await page.getByRole('link', { name: 'Saltmarsh 雨', exact: true }).click();
  await page.getByRole('heading', { name: 'Shelf' }).waitFor({ state: 'detached' });
  await page.getByRole('link', { name: /^Shelf/ }).click();
  await page.getByText('2 of 7').waitFor();
  expect(await search.inputValue()).toBe('saltmarsh');
  expect(complaints).toEqual([]);
  await context.close();
});
