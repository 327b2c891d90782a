/** The ink as a film in the window: the slider over its doses, its plots, and the way from a misfit to its sample. */
import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, test } from 'vitest';
import type { FindingsReport } from '../../electron/backend/api.ts';
import type { FilmAnswer } from '../../electron/backend/filmAnswer.ts';
import { violations } from './accessible.ts';
import { running } from './running.ts';
import { openWindow, picture, pictured, SCREENS, type OpenedWindow } from './startWindow.ts';

const bench = running('film');

const slider = (page: Page) => page.getByRole('slider', { name: 'Dose of ink' });
const said = (page: Page) => slider(page).getAttribute('aria-valuetext');
const lightness = (page: Page) =>
  page
    .locator('.film-swatch .film-lab > div:first-child .figure-value')
    .allTextContents()
    .then((all) => all.map(Number));

/** The sample's own film is sound: one of its samples is made out to be none, so that there is a misfit to follow. */
async function withMisfit(page: Page): Promise<void> {
  await page.route('**/api/inks/1/film', async (route) => {
    const answer = await route.fetch({ maxRetries: 3 });
    const film: FilmAnswer = await answer.json();
    const misfits = [{ region: 'swab-even-yellow', words: 'leaves the ink’s curve towards another hue' }];
    const fits = film.fits.map((fit) => ({ ...fit, quality: { ...fit.quality, verdict: 'doubtful', misfits } }));
    await route.fulfill({ response: answer, json: { ...film, fits } });
  });
}

async function openFilm(screen: { width: number; height: number }): Promise<OpenedWindow> {
  const opened = await openWindow(bench.browser, bench.server.url, screen);
  const { page } = opened;
  await withMisfit(page);
  await page.getByText('Curlew Midnight').first().waitFor();
  await page.evaluate(() => void (window.location.hash = '#/ink/1/findings?show=film'));
  // The film is fitted when all samples are measured.
  await slider(page).waitFor({ timeout: 200_000 });
  await pictured(opened);
  return opened;
}

/** The ink lies on each of its papers, and the page stays in its pane. */
async function isLaidOut(page: Page, { width }: { width: number }): Promise<void> {
  expect(await page.locator('.film-swatch h3').allTextContents()).toEqual(['bright white, smooth', 'yellow, dyed']);
  await picture(page, `film-${width}`);
  const plot = page.getByRole('figure', { name: 'Absorption of the ink' });
  await plot.scrollIntoViewIfNeeded();
  await plot.locator('.plot-picture svg').waitFor();
  await picture(page, `film-absorption-${width}`);
  const wide = await page.evaluate(() => {
    const pane = document.querySelector('.findings-plots');
    return pane === null || pane.scrollWidth > pane.clientWidth + 1;
  });
  expect(wide).toBe(false);
}

test('a large screen shows the same elements, in their pane', async () => {
  const { page, context, complaints } = await openFilm(SCREENS.large);
  await isLaidOut(page, SCREENS.large);
  expect(complaints).toEqual([]);
  await context.close();
});

describe('on a small screen', () => {
  let opened: OpenedWindow;
  let page: Page;
  beforeAll(async () => {
    opened = await openFilm(SCREENS.small);
    ({ page } = opened);
  }, 240_000);

  test('the ink lies on each of its papers; all of it is accessible and stays in its pane', async () => {
    await isLaidOut(page, SCREENS.small);
    expect(await violations(page)).toEqual([]);
  });

  test('keys make it denser: darker on each paper, said in words, up to what is foretold', async () => {
    const before = await lightness(page);
    expect(await said(page)).toMatch(/^the median dose.*: on “bright white, smooth” .*, L\* \d+; on “yellow, dyed” /);
    await slider(page).focus();
    for (let step = 0; step < 12; step++) await page.keyboard.press('ArrowRight');
    const after = await lightness(page);
    expect(after).toHaveLength(2);
    after.forEach((L, i) => expect(L).toBeLessThan(before[i] - 2));
    await expect.poll(() => said(page)).toMatch(/^1\.\d times the median dose/);
    await page.keyboard.press('End');
    await expect.poll(() => said(page)).toMatch(/foretold/);
    await expect.poll(() => page.locator('.film-swatch-note').first().textContent()).toMatch(/^Foretold/);
    await page.keyboard.press('Home');
    const [palest] = await lightness(page);
    expect(palest).toBeGreaterThan(before[0] + 20);
  });

  test('a key leads from nib to nib', async () => {
    await page.keyboard.press('.');
    await expect.poll(() => said(page)).toMatch(/, as the extra-fine nib on “[^”]+” laid it: /);
    await page.keyboard.press(',');
    await page.getByText('No nib laid it paler.').waitFor();
  });

  test('plots are drawn when they come into sight, follow the slider, and show the map when asked', async () => {
    const hue = page.getByRole('figure', { name: 'From dose to colour: hue' });
    await hue.scrollIntoViewIfNeeded();
    await hue.locator('.film-rings > g').nth(1).waitFor();
    const place = () => hue.locator('.film-rings > g').first().getAttribute('transform');
    const [dots, before] = [await hue.locator('svg path').count(), await place()];
    await slider(page).press('ArrowRight');
    await expect.poll(place).not.toBe(before);
    expect(await hue.locator('svg path').count()).toBe(dots);
    await page.getByRole('button', { name: 'Show in the plots what the target’s map says' }).click();
    await expect.poll(() => hue.locator('svg path').count()).toBeGreaterThan(dots + 20);
    await expect.poll(() => hue.locator('.film-rings > g').count()).toBe(2);
    await picture(page, 'film-plots-1280');
    const download = page.waitForEvent('download');
    await hue.getByRole('button', { name: 'Save as SVG' }).click();
    expect((await download).suggestedFilename()).toBe('curlew-midnight-from-dose-to-colour-hue.svg');
  });

  test('a misfit leads to its sample on the scan, whose reading says how its colour was got', async () => {
    await page.getByRole('button', { name: 'Show “swab-even-yellow” on its scan' }).click();
    await page.locator('.reading-title', { hasText: 'swab' }).waitFor();
    expect(page.url()).not.toContain('show=film');
    await pictured(opened);
    const told = page.getByRole('region', { name: 'How the colour was got' });
    expect(await told.textContent()).toMatch(/^Got by the (target’s map|film fit)/);
    await picture(page, 'film-misfit-1280');
    expect(await violations(page)).toEqual([]);
    await told.getByRole('button', { name: 'Show the ink as a film' }).click();
    await slider(page).waitFor();
    expect(opened.complaints).toEqual([]);
    await opened.context.close();
  });
});

test('where the fit tells colours, a page shows them by the fit, by the map, or both', async () => {
  const opened = await openWindow(bench.browser, bench.server.url);
  const { page } = opened;
  // Whether the fit tells the sample's own colours hangs on what is known of its target; here it tells them in any case.
  await page.route('**/api/inks/1/findings', async (route) => {
    const answer = await route.fetch({ maxRetries: 3 });
    const report: FindingsReport = await answer.json();
    const findings = report.findings.map((traced) => {
      const { quantity, value, u, method } = traced.finding;
      if (quantity !== 'shading' || typeof value !== 'number') return traced;
      return { ...traced, finding: { ...traced.finding, value: value + 1, u: 0.3, byMap: { value, u, method } } };
    });
    await route.fulfill({ response: answer, json: { ...report, findings } });
  });
  await page.getByText('Curlew Midnight').first().waitFor();
  await page.evaluate(() => void (window.location.hash = '#/ink/1/findings?finding=shading(b-white)'));
  const cell = page.locator('[data-finding="shading(b-white)"]');
  const figure = () => cell.locator('.cell-figures').textContent();
  await page.getByRole('button', { name: /all up to date/ }).waitFor({ timeout: 200_000 });
  await cell.waitFor();
  expect(await cell.locator('..').getAttribute('data-way')).toBe('film');
  const byFit = await figure();
  const told = page.getByRole('region', { name: 'How the colour was got' });
  await told.getByText('What the target’s map says').click();
  await expect.poll(() => told.textContent()).toMatch(/By the map: \d\.\d+\s±\s\d\.\d+\sΔE00\./);
  const ways = page.getByRole('group', { name: 'Colours told by' });
  await ways.getByRole('button', { name: 'both' }).click();
  await cell.locator('.cell-beside').waitFor();
  await picture(page, 'film-told-both-1280');
  expect(await violations(page)).toEqual([]);
  await ways.getByRole('button', { name: 'target’s map' }).click();
  await expect.poll(figure).not.toBe(byFit);
  expect(await cell.locator('..').getAttribute('data-way')).toBe('map');
  await told.getByText('What the film fit says').waitFor();
  await page.keyboard.press('c');
  await page.keyboard.press('c');
  await expect.poll(figure).toBe(byFit);
  expect(opened.complaints).toEqual([]);
  await opened.context.close();
});

test('without a fit the page teaches what to paint, and why there was none', async () => {
  const opened = await openWindow(bench.browser, bench.server.url);
  const { page } = opened;
  await page.route('**/api/inks/1/film', (route) =>
    route.fulfill({
      json: { fits: [], missing: [{ regions: ['ef-white'], words: 'Too few doses.' }] } satisfies FilmAnswer,
    }),
  );
  await page.getByText('Curlew Midnight').first().waitFor();
  await page.evaluate(() => void (window.location.hash = '#/ink/1/findings?show=film'));
  await page.getByText('Paint one swab that runs from pale to dense').waitFor();
  await page.getByText('Too few doses.').waitFor();
  await picture(page, 'film-none-1280');
  expect(await violations(page)).toEqual([]);
  await page.getByRole('button', { name: 'Go to the scans' }).click();
  await page.waitForURL(/ink\/1\/scans/);
  await opened.context.close();
});
