/** The ink on other papers, as a person goes through them: shelf, a colour of one's own, the writing laid there, arrows and swatches. */
import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, test } from 'vitest';
import type { OpacityAnswer } from '../../electron/backend/opacityAnswer.ts';
import { opacityAnswer } from '../renderer/opacitySample.ts';
import { violations } from './accessible.ts';
import { running } from './running.ts';
import { openWindow, picture, pictured, SCREENS, type OpenedWindow } from './startWindow.ts';

const bench = running('other-papers');

async function goTo(page: Page, hash: string): Promise<void> {
  await page.getByText('Curlew Midnight').first().waitFor();
  await page.evaluate((to) => void (window.location.hash = to), hash);
}

const tile = (page: Page, name: string) => page.getByRole('radio', { name: new RegExp(`^${name}`) });
const elsewhere = (page: Page) => page.getByRole('img', { name: /^The writing of .*, foretold$/ });

describe('on the sample ink', () => {
  let opened: OpenedWindow;
  let page: Page;
  beforeAll(async () => {
    opened = await openWindow(bench.browser, bench.server.url, SCREENS.small);
    ({ page } = opened);
    await goTo(page, '#/ink/1/papers?ground=80.0,-20.0,10.0');
    // What is foretold stands on all samples together.
    await page.getByRole('button', { name: /all up to date/ }).waitFor({ timeout: 200_000 });
    await elsewhere(page).waitFor();
    await pictured(opened);
  }, 240_000);

  test('the writing lies on the colour that was picked, at the scale of the original; all of it is accessible', async () => {
    const drawn = () => elsewhere(page).evaluate((img: HTMLImageElement) => img.naturalWidth);
    await expect.poll(drawn, { timeout: 20_000 }).toBeGreaterThan(300);
    const sizes = await page.locator('.there-picture img').evaluateAll((all) => all.map((img) => img.clientWidth));
    expect(new Set(sizes).size).toBe(1);
    const before = await elsewhere(page).getAttribute('src');
    await page.keyboard.press('+');
    await expect.poll(() => elsewhere(page).getAttribute('src')).not.toBe(before);
    await picture(page, 'other-papers-1280');
    expect(await violations(page)).toEqual([]);
  });

  test('keys go through the papers; numbers set a colour of one’s own, and the ink follows', async () => {
    const lightness = () => page.locator('.pen-on-ground .film-lab .figure-value').first().textContent();
    const there = await lightness();
    await page.getByRole('textbox', { name: /^L\*/ }).fill('40');
    await page.keyboard.press('Enter');
    await page.waitForURL(/ground=40\.0,-20\.0,10\.0/);
    await expect.poll(async () => Number(await lightness())).toBeLessThan(Number(there) - 5);
    await tile(page, 'a colour of your own').focus();
    await page.keyboard.press('ArrowUp');
    await page.waitForURL(/papers\?(.*&)?on=/);
    await tile(page, 'yellow, dyed').press('Space');
    await page.waitForURL(/on=yellow/);
    await page.getByText('Measured here.').first().waitFor();
    expect(await page.getByText('translucent').count()).toBeGreaterThan(2);
    await page.keyboard.press('g');
    await page.waitForURL(/ink\/1\/findings/);
    await page.getByRole('link', { name: 'On other papers' }).waitFor();
    await page.keyboard.press('o');
    await page.waitForURL(/ink\/1\/papers/);
  });

  test('a colour is taken from a scan by keys alone', async () => {
    await tile(page, 'a colour of your own').focus();
    await page.keyboard.press('Space');
    // A minus and a comma as they are printed elsewhere mean what they say.
    const redness = page.getByRole('textbox', { name: /^a\*/ });
    await redness.fill('');
    await redness.evaluate((field) => {
      const clipboardData = new DataTransfer();
      clipboardData.setData('text', '\u221225');
      field.dispatchEvent(new ClipboardEvent('paste', { clipboardData, bubbles: true, cancelable: true }));
    });
    await redness.pressSequentially(',7');
    await redness.press('Enter');
    await page.waitForURL(/ground=[\d.]+,-25\.7,/);
    await page.getByRole('button', { name: 'Pick it on a scan' }).press('Enter');
    await page.locator('.pick-view .viewer-pictures img').first().waitFor();
    const take = page.getByRole('button', { name: 'Take what lies in the middle' });
    const address = page.url();
    await expect
      .poll(async () => {
        await take.press('Enter');
        return page.url() !== address;
      })
      .toBe(true);
    await pictured(opened);
    await picture(page, 'other-papers-pick-1280');
    expect(await violations(page)).toEqual([]);
  });

  test('arrows and swatches show what the change of paper did, and lead to the findings', async () => {
    const plot = page.getByRole('figure', { name: 'From bright white to yellow' });
    await plot.scrollIntoViewIfNeeded();
    await plot.locator('.plot-picture svg').waitFor();
    await plot.getByRole('button', { name: 'Show it to an eye used to each page' }).click();
    await plot.getByText('which lies at 0, 0').waitFor();
    const download = page.waitForEvent('download');
    await plot.getByRole('button', { name: 'Save as SVG' }).click();
    expect((await download).suggestedFilename()).toBe('curlew-midnight-from-bright-white-to-yellow.svg');
    expect(await page.locator('.tone-sample').count()).toBe(5);
    await picture(page, 'other-papers-tone-1280');
    await page.locator('.tone-sample a').first().click();
    await page.waitForURL(/finding=toneShift/);
    expect(opened.complaints).toEqual([]);
    await opened.context.close();
  });
});

async function answering(page: Page, answer: OpacityAnswer): Promise<void> {
  await page.route('**/api/inks/1/opacity', (route) => route.fulfill({ json: answer }));
}

test('on a large screen a shelf of papers: the error that was found is printed beside what is foretold, or why nothing is', async () => {
  const opened = await openWindow(bench.browser, bench.server.url, SCREENS.large);
  const { page } = opened;
  await answering(page, opacityAnswer);
  await goTo(page, '#/ink/1/papers');
  await tile(page, 'grey board').waitFor({ timeout: 200_000 });
  expect(await page.getByRole('radiogroup', { name: 'Show the ink on' }).getByRole('radio').count()).toBe(5);
  await page.getByText('off by 1.2 ΔE00 in the median').first().waitFor();
  await page.getByText('It lies on one ground only.').first().waitFor();
  await picture(page, 'other-papers-shelf-2560');
  const wide = await page.evaluate(() => document.documentElement.scrollWidth > window.innerWidth);
  expect(wide).toBe(false);
  await opened.context.close();
});

test('without anything to go by the page teaches what to write, and says why', async () => {
  const opened = await openWindow(bench.browser, bench.server.url);
  const { page } = opened;
  await answering(page, { ...opacityAnswer, pens: opacityAnswer.pens.slice(2) });
  await goTo(page, '#/ink/1/papers');
  await page.getByText('Write the ink on a second paper of another colour').waitFor({ timeout: 200_000 });
  await page.getByText('It lies on one ground only.').first().waitFor();
  await picture(page, 'other-papers-none-1280');
  expect(await violations(page)).toEqual([]);
  await page.getByRole('button', { name: 'Go to the scans' }).click();
  await page.waitForURL(/ink\/1\/scans/);
  await opened.context.close();
});
