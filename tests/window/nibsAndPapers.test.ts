/** Nibs and papers: the sample's review on one page, by mouse, by keys and for those who do not see it. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { violations } from './accessible.ts';
import { picturesCome } from './inSight.ts';
import { running } from './running.ts';
import { openWindow, picture, pictured, SCREENS } from './startWindow.ts';

const bench = running('nibs-and-papers');

const cell = (page: Page, key: string) => page.locator(`[data-cell="${key}"]`);

/** At the first start the sample ink is not there at once. */
async function open(page: Page, address: string): Promise<void> {
  await page.getByText('Curlew Midnight').first().waitFor();
  await page.evaluate((hash) => void (window.location.hash = hash), address);
}

/** The row of the tables that lies in the pane's middle; '' between rows. */
const rowInSight = (page: Page): Promise<string> =>
  page.locator('.findings-tables').evaluate((pane) => {
    const { left, top, height } = pane.getBoundingClientRect();
    const row = document.elementFromPoint(left + 120, top + height / 2)?.closest('tr');
    return pane.scrollTop > 300 ? (row?.textContent ?? '') : '';
  });

/** Which cell holds the focus. */
const focused = (page: Page): Promise<string | null> =>
  page.evaluate(() => document.activeElement?.closest<HTMLElement>('[data-cell]')?.dataset['cell'] ?? null);

test.each(['small', 'large'] as const)('on a %s screen the review stands side by side', async (size) => {
  const opened = await openWindow(bench.browser, bench.server.url, SCREENS[size]);
  const { page, context, complaints } = opened;
  const width = SCREENS[size].width;
  await open(page, '#/ink/1/writing');
  const lines = cell(page, 'M|yellow, dyed');
  await lines.getByText('shading').waitFor({ timeout: 100_000 });
  await pictured(opened);
  expect(await page.locator('.nib-grid thead th').allTextContents()).toEqual([
    'paper',
    'EF 0.4 mm',
    'M 0.65 mm',
    'B 1.1 mm',
  ]);
  expect(await page.locator('.nib-grid tbody th').allTextContents()).toEqual(['bright white, smooth', 'yellow, dyed']);
  // All pictures have come, at one size, and hold ink on paper rather than nothing.
  const pictures = page.locator('.nib-picture img');
  await picturesCome(pictures, 6);
  const shown = await pictures.evaluateAll((all) =>
    all.map((image) => {
      if (!(image instanceof HTMLImageElement)) throw new Error('no picture');
      const canvas = document.createElement('canvas');
      [canvas.width, canvas.height] = [image.naturalWidth, image.naturalHeight];
      const context2d = canvas.getContext('2d');
      context2d?.drawImage(image, 0, 0);
      const data = context2d?.getImageData(0, 0, canvas.width, canvas.height).data ?? new Uint8ClampedArray(4);
      let dark = 0;
      for (let i = 0; i < data.length; i += 4) if (data[i + 1] < 140) dark++;
      const box = image.getBoundingClientRect();
      return { size: `${Math.round(box.width)} × ${Math.round(box.height)}`, ink: dark / (data.length / 4) };
    }),
  );
  expect(shown).toHaveLength(6);
  expect(new Set(shown.map((one) => one.size)).size).toBe(1);
  for (const { ink } of shown) {
    expect(ink).toBeGreaterThan(0.05);
    expect(ink).toBeLessThan(0.7);
  }
  await picture(page, `nibs-and-papers-${width}`);
  // Once is enough: a large screen shows the same elements.
  const heard = async () => (size === 'small' ? violations(page) : []);
  expect(await heard()).toEqual([]);
  await page.keyboard.press('v');
  await lines.getByText('density').waitFor();
  expect(await lines.textContent()).toMatch(/shading(?:by the film fit: )?\s*\d+\.\d+\s±\s\d\.\d+\sΔE00/);
  await pictured(opened);
  await picture(page, `nibs-and-papers-values-${width}`);
  expect(await heard()).toEqual([]);
  expect(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)).toBeLessThan(1);
  expect(complaints).toEqual([]);
  await context.close();
});

test('keys lead from cell to cell, to the scan and back to the same cell', async () => {
  const opened = await openWindow(bench.browser, bench.server.url);
  const { page, context } = opened;
  await open(page, '#/ink/1/writing');
  await cell(page, 'EF|bright white, smooth').getByText('shading').waitFor({ timeout: 100_000 });
  await page.locator('[data-cell] a[tabindex="0"]').first().focus();
  expect(await focused(page)).toBe('EF|bright white, smooth');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowDown');
  await expect.poll(() => focused(page)).toBe('M|yellow, dyed');
  // Tab goes through what the cell says, then out of the grid: one cell is in the tab order.
  await page.keyboard.press('Tab');
  expect(await focused(page)).toBe('M|yellow, dyed');
  expect(await page.evaluate(() => document.activeElement?.className)).toContain('nib-colour');
  await page.keyboard.press('Shift+Tab');
  await page.keyboard.press('Enter');
  await page.locator('.reading-sentence', { hasText: /medium nib.*yellow.*shades/ }).waitFor();
  expect(decodeURIComponent(page.url())).toContain('/findings?finding=shading(m-yellow)');
  await page.goBack();
  await cell(page, 'M|yellow, dyed').waitFor();
  await expect.poll(() => focused(page), { timeout: 10_000 }).toBe('M|yellow, dyed');
  await page.keyboard.press('g');
  await page.getByRole('region', { name: 'Bare paper' }).waitFor({ state: 'attached' });
  await page.locator('.findings-tables').hover();
  await page.mouse.wheel(0, 900);
  let left = '';
  const isAtRest = async (): Promise<boolean> => {
    const before = left;
    left = await rowInSight(page);
    return left !== '' && left === before;
  };
  await expect.poll(isAtRest, { interval: 300 }).toBe(true);
  await page.keyboard.press('g');
  await cell(page, 'M|yellow, dyed').waitFor();
  // Back again, the tables stand where they were left.
  await page.keyboard.press('g');
  await expect.poll(() => rowInSight(page), { timeout: 10_000 }).toBe(left);
  await context.close();
});

test('on paper a page of findings is whole, black on white, and nothing of it can be pressed; plots far down are drawn', async () => {
  const { page, context } = await openWindow(bench.browser, bench.server.url);
  await page.emulateMedia({ media: 'print', reducedMotion: 'reduce' });
  await open(page, '#/ink/1/findings');
  await page.locator('.findings-section').last().waitFor();
  const seen = (selector: string) => page.locator(selector).first().isVisible();
  expect(await page.locator('h1').first().isVisible()).toBe(true);
  for (const button of ['.strip-end', '.findings-scans', '.findings-head']) expect(await seen(button)).toBe(false);
  const cut = await page
    .locator('.findings-tables, .findings-reading, .findings-table')
    .evaluateAll((all) => all.filter((one) => getComputedStyle(one).overflowY !== 'visible').length);
  expect(cut).toBe(0);
  const ground = await page.locator('.findings-tables').evaluate(() => getComputedStyle(document.body).backgroundColor);
  expect(ground).toBe('rgb(255, 255, 255)');
  await page.emulateMedia({ media: 'screen', reducedMotion: 'reduce' });
  await open(page, '#/ink/1/papers');
  await page.locator('.plot-picture').first().waitFor({ state: 'attached' });
  await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
  await expect.poll(() => page.locator('.plot-picture > *').count()).toBe(await page.locator('.plot-picture').count());
  await context.close();
});

test('the scale is one for all, and in the address', async () => {
  const opened = await openWindow(bench.browser, bench.server.url);
  const { page, context } = opened;
  await open(page, '#/ink/1/writing');
  const first = page.locator('.nib-picture img').first();
  await first.waitFor();
  const asked = () =>
    page
      .locator('.nib-picture img')
      .evaluateAll((all) => [
        ...new Set(
          all.map((image) => new URL(image.getAttribute('src') ?? '', location.href).searchParams.get('mmPerPixel')),
        ),
      ]);
  expect(await asked()).toEqual(['0.08']);
  await page.getByRole('button', { name: 'Larger pictures' }).click();
  await expect.poll(asked).toEqual(['0.04']);
  expect(page.url()).toContain('mm=0.04');
  await page.keyboard.press('-');
  await page.keyboard.press('-');
  await expect.poll(asked).toEqual(['0.16']);
  expect(await page.getByRole('button', { name: 'Smaller pictures' }).isDisabled()).toBe(true);
  await context.close();
});

test('an ink without lines is told how the grid comes about', async () => {
  const opened = await openWindow(bench.browser, bench.server.url);
  const { page, context } = opened;
  await page.getByRole('button', { name: 'New ink' }).click();
  await page.getByLabel('Name of the ink').fill('Plover Blue');
  await page.getByRole('button', { name: 'Make the ink' }).click();
  await page.getByText('Lay the page square on the scanner').waitFor();
  await page.evaluate(() => void (window.location.hash = '#/ink/2/writing'));
  await page.getByText(/Write the same lines with every nib on every paper/).waitFor();
  await picture(page, 'nibs-and-papers-empty-1280');
  expect(await violations(page)).toEqual([]);
  await page.getByRole('button', { name: 'Go to the scans' }).click();
  await page.getByText('Lay the page square on the scanner').waitFor();
  await context.close();
});
