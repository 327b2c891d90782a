/** The program killed in the middle of its work, as a power cut would: nothing that was shown as saved is lost. */
import { expect, test } from 'vitest';
import { running } from './running.ts';
import { openWindow, startServer } from './startWindow.ts';

const bench = running('killed');

test('killed while it measures and while a region is being moved, it goes on with all that was shown', async () => {
  const first = await openWindow(bench.browser, bench.server.url);
  const { page } = first;
  await page.getByRole('link', { name: 'Curlew Midnight', exact: true }).click();
  await page.getByRole('link', { name: /Findings/ }).click();
  await page.locator('[data-finding]').first().waitFor({ timeout: 100_000 });
  const shown = await page
    .locator('[data-finding]')
    .evaluateAll((cells) => cells.map((cell) => [cell.getAttribute('data-finding'), cell.textContent]));
  await page.goto(`${new URL(page.url()).origin}/#/ink/1/scans?scan=white&region=b-white`);
  await page.locator('[data-region="b-white"]').waitFor();
  await page.locator('[data-region="b-white"]').focus();
  for (let i = 0; i < 5; i++) await page.keyboard.press('Shift+ArrowRight');
  // On a busy machine the page still says so of what was before the presses.
  await expect.poll(async () => (await boxOf(page, 'b-white'))[0]).toBeGreaterThan(9.4);
  await page.locator('[data-saving="saved"]').waitFor();
  const saved = await boxOf(page, 'b-white');
  await bench.server.kill();
  // What is done while nobody answers is kept in the window, which goes on when the program does.
  await page.keyboard.press('ArrowDown');
  await page.locator('[data-saving="failed"]').waitFor();

  bench.server = await startServer(bench.library);
  await page.locator('[data-saving="saved"]').waitFor();
  const box = await boxOf(page, 'b-white');
  expect(box).toEqual([saved[0], expect.closeTo(saved[1] + 0.1, 6), saved[2], saved[3]]);
  await first.context.close();
  const again = await openWindow(bench.browser, bench.server.url);
  expect(await boxOf(again.page, 'b-white')).toEqual(box);
  await again.page.goto(`${new URL(again.page.url()).origin}/#/ink/1/findings`);
  await again.page.locator('[data-finding]').first().waitFor();
  // Tables are drawn one in a frame.
  await expect
    .poll(async () => {
      const keys = await again.page
        .locator('[data-finding]')
        .evaluateAll((cells) => cells.map((cell) => cell.getAttribute('data-finding')));
      return shown.filter(([key]) => key !== null && !keys.includes(key));
    })
    .toEqual([]);
  // And the rest is measured without starting over.
  await again.page.keyboard.press('m');
  await again.page.locator('[data-finding="shading(b-yellow)"]').waitFor({ timeout: 100_000 });
  expect(again.complaints).toEqual([]);
  await again.context.close();
});

async function boxOf(page: { evaluate<T>(read: () => Promise<T>): Promise<T> }, id: string): Promise<number[]> {
  const text = await page.evaluate(() => fetch('/api/inks/1').then((answer) => answer.text()));
  const { regions }: { regions: { region: { id: string; boxMm: number[] } }[] } = JSON.parse(text);
  return regions.find(({ region }) => region.id === id)?.region.boxMm ?? [];
}
