/** The calibration's report card in the window: table, scan and plots say one thing, by mouse and by keys, on a small and a large screen. */
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import sharp from 'sharp';
import { beforeAll, describe, expect, test } from 'vitest';
import { violations } from './accessible.ts';
import { settledBox } from './inSight.ts';
import { running } from './running.ts';
import { openWindow, picture, pictured, SCREENS, type OpenedWindow } from './startWindow.ts';

const bench = running('report-card');

const chosenRow = (page: Page) => page.locator('.card-table tr[data-chosen]');
const sorted = (page: Page) =>
  page
    .locator('.card-table tbody .card-number:nth-child(3)')
    .allTextContents()
    .then((all) => all.map(Number));

async function openCard(screen: { width: number; height: number }): Promise<OpenedWindow> {
  const opened = await openWindow(bench.browser, bench.server.url, screen);
  const { page } = opened;
  await page.getByText('Curlew Midnight').first().waitFor();
  await page.evaluate(() => void (window.location.hash = '#/ink/1/calibration?scan=target'));
  await page.locator('.card-page').waitFor({ timeout: 100_000 });
  await pictured(opened);
  await picture(page, `calibration-${screen.width}`);
  return opened;
}

/** Panes beyond whose edges something lies. */
const widePanes = (page: Page) =>
  page.evaluate(() =>
    ['.card-table', '.card-middle', '.card-reading', '.card-plots'].filter((pane) => {
      const element = document.querySelector(pane);
      return element === null || element.scrollWidth > element.clientWidth + 1;
    }),
  );

/** The last patch's mark on the scan is pressed: by it, places on the screen and on the scan are the same. */
async function chooseOnScan(page: Page): Promise<{ pressed: string | null; chosen: string | null }> {
  const mark = page.locator('.card-marks [data-worst]').last();
  const id = await mark.getAttribute('data-worst');
  const box = await settledBox(mark);
  await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
  await chosenRow(page).waitFor();
  const chosen = await chosenRow(page).locator('[data-patch]').getAttribute('data-patch');
  await page.keyboard.press('Escape');
  return { pressed: id, chosen };
}

test('a large screen shows the same elements, each in its pane', async () => {
  const { page, context, complaints } = await openCard(SCREENS.large);
  expect(await page.locator('.plot-figure').count()).toBe(4);
  expect(await widePanes(page)).toEqual([]);
  const { pressed, chosen } = await chooseOnScan(page);
  expect(chosen).toBe(pressed);
  expect(complaints).toEqual([]);
  await context.close();
});

describe('on a small screen', () => {
  let opened: OpenedWindow;
  let page: Page;
  beforeAll(async () => {
    opened = await openCard(SCREENS.small);
    ({ page } = opened);
  });

  test('says first how good it is, belongs to the Scans stage, and is accessible', async () => {
    expect(await page.locator('.reading-sentence').textContent()).toMatch(/^Good: a patch/);
    expect(await page.locator('.stage[aria-current]').textContent()).toMatch(/^Scans/);
    expect(await page.locator('.plot-figure').count()).toBe(4);
    expect(await violations(page)).toEqual([]);
  });

  test('nothing lies beyond its pane', async () => {
    expect(await widePanes(page)).toEqual([]);
  });

  test('the worst patches come first; another heading sorts by it', async () => {
    const worst = await sorted(page);
    expect(worst).toHaveLength(96);
    expect(worst).toEqual(worst.toSorted((a, b) => b - a));
    await page.getByRole('button', { name: /^Left out/ }).click();
    await expect.poll(() => sorted(page)).toEqual(worst.toReversed());
    await page.getByRole('button', { name: /^Patch/ }).click();
    await expect.poll(() => page.locator('[data-patch]').first().getAttribute('data-patch')).toBe('C01');
    await page.getByRole('button', { name: /^Left out/ }).click();
  });

  test('a patch is chosen in the table by keys, marked on the scan, read, and let go', async () => {
    await page.locator('[data-patch]').first().focus();
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Enter');
    const second = await page.locator('[data-patch]').nth(1).getAttribute('data-patch');
    await expect.poll(() => chosenRow(page).locator('[data-patch]').getAttribute('data-patch')).toBe(second);
    await expect.poll(() => page.locator('.card-marks [data-chosen]').getAttribute('data-worst')).toBe(second);
    await expect.poll(() => page.getByRole('heading', { name: `Patch ${second}` }).count()).toBe(1);
    expect(page.url()).toContain(`patch=${second}`);
    await pictured(opened);
    await picture(page, 'calibration-patch-1280');
    expect(await violations(page)).toEqual([]);
    await page.keyboard.press('n');
    await expect.poll(() => chosenRow(page).locator('[data-patch]').getAttribute('data-patch')).not.toBe(second);
    await page.keyboard.press('Escape');
    await expect.poll(() => chosenRow(page).count()).toBe(0);
  });

  test('a patch pressed on the scan is chosen in the table', async () => {
    const { pressed, chosen } = await chooseOnScan(page);
    expect(chosen).toBe(pressed);
  });

  test('a plot is saved, as a picture with its letters at once, and the way back leads to the scan', async () => {
    // As on a machine that is slow to read the letters in a picture: what is drawn first lacks them.
    await page.evaluate(() => {
      const { prototype } = CanvasRenderingContext2D;
      const draw = Object.getOwnPropertyDescriptor(prototype, 'drawImage');
      prototype.drawImage = () => {
        if (draw) Object.defineProperty(prototype, 'drawImage', draw);
      };
    });
    const pngDownload = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save as PNG: Where colours go' }).click();
    const png = sharp(await (await pngDownload).path());
    const { width, height, density, space } = await png.metadata();
    expect({ width, density, space }).toEqual({ width: 1440, density: 192, space: 'srgb' });
    const place = { left: 0, top: height - 100, width: 700, height: 100 };
    // Statistics are of the file, whatever is asked for before them.
    const lastLine = await png.extract(place).flatten({ background: '#fff' }).png().toBuffer();
    const { channels } = await sharp(lastLine).stats();
    expect(channels[0].min, 'darkest letter of its last line').toBeLessThan(80);
    const download = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save as SVG' }).first().click();
    expect((await download).suggestedFilename()).toBe('curlew-midnight-where-colours-go.svg');
    const saved = readFileSync(await (await download).path(), 'utf8');
    expect(saved).toMatch(/>Arrows lead from the known colour/);
    expect(saved).toMatch(/>Colours through the calibration \(good/);
    await page.getByRole('link', { name: 'Back to the scan “target”' }).click();
    await page.getByRole('navigation', { name: 'Scans of this ink' }).waitFor();
    expect(opened.complaints).toEqual([]);
    await opened.context.close();
  });
});

test('an ink without a target, and a scan without one, say what to do', async () => {
  const opened = await openWindow(bench.browser, bench.server.url);
  const { page } = opened;
  await page.evaluate(() => void (window.location.hash = '#/ink/1/calibration?scan=white'));
  await page.getByRole('alert').waitFor();
  expect(await page.getByRole('alert').textContent()).toContain('No target is said to lie in scan “white”');
  expect(await violations(page)).toEqual([]);
  await page.evaluate(() => void (window.location.hash = '#/shelf'));
  await page.getByRole('button', { name: 'New ink' }).click();
  await page.getByLabel('Name of the ink').fill('Plover Blue');
  await page.getByRole('button', { name: 'Make the ink' }).click();
  await page.waitForURL(/ink\/2\//);
  await page.evaluate(() => void (window.location.hash = '#/ink/2/calibration'));
  await page.getByText('No scan of this ink holds a calibration target').waitFor();
  expect(await violations(page)).toEqual([]);
  await page.getByRole('button', { name: 'Go to the scans' }).click();
  await page.waitForURL(/ink\/2\/scans/);
  await opened.context.close();
});
