/** What stands in the Scans page's column is seen whole: figures with all their digits, and names of one long word. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import type { Edit } from '../../electron/backend/api.ts';
import { running } from './running.ts';
import { openWindow, SCREENS } from './startWindow.ts';

const bench = running('fits');

/** Fields whose text is wider than they are. */
const cutFields = (page: Page): Promise<string[]> =>
  page
    .locator('.scans-right input')
    .evaluateAll((all: HTMLInputElement[]) =>
      all
        .filter((one) => one.scrollWidth > one.clientWidth + 1)
        .map((one) => one.labels?.[0]?.textContent ?? one.value),
    );

test.each([SCREENS.small, { width: 900, height: 700 }])('in a window of $width px', async (screen) => {
  const { page, context } = await openWindow(bench.browser, bench.server.url, screen);
  await page.getByText('Curlew Midnight').first().waitFor();
  const { origin } = new URL(page.url());
  const long = 'W'.repeat(70);
  await page.evaluate(
    (body) => fetch('/api/inks/1/edits', { method: 'POST', body }),
    JSON.stringify({
      edit: {
        edit: 'addRegion',
        region: { id: long, scan: 'strip-fresh', kind: 'swab', boxMm: [1, 1, 5, 5] },
      } satisfies Edit,
    }),
  );
  await page.goto(`${origin}/#/ink/1/scans?scan=strip-fresh&region=fresh`);
  const field = (name: string) => page.getByRole('textbox', { name, exact: true });
  await field('Origin').waitFor();
  expect(await field('Origin').inputValue()).toBe('87.7');
  await field('Front').fill('14.97');
  await page.getByText(/^Box:/).click();
  await field('Width').fill('118.29');
  expect(await cutFields(page)).toEqual([]);
  await field('Width').press('Escape');
  await page.goto(`${origin}/#/ink/1/scans?scan=strip-fresh`);
  const option = page.getByRole('option', { name: long });
  await option.waitFor();
  const column = page.locator('.scans-right');
  expect(await column.evaluate((node) => node.scrollWidth - node.clientWidth)).toBeLessThan(1);
  expect(await option.evaluate((node) => node.scrollWidth - node.clientWidth)).toBeLessThan(1);
  await context.close();
});
