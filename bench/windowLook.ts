/** The window in a real browser: from the start of the process to the sample on the screen, the map of differences, and how long its thread is ever busy. */
import { type Page, chromium } from 'playwright-core';
import { findBrowser } from '../tests/window/findBrowser.ts';
import { startServer } from '../tests/window/startWindow.ts';

export interface WindowLook {
  /** Seconds from the start of the process until the sample's scan is seen. */
  readonly sample: number;
  /** Milliseconds from a move of the pinned colour until the map is drawn: median and 95th percentile. */
  readonly heatMedian: number;
  readonly heat95: number;
  /** The longest task on the page's thread while pages were opened, zoomed and the pin was dragged, ms; 0: none over 50. */
  readonly longestTask: number;
}

/** @param library one that is there already */
export async function windowLook(library: string, width = 1280, height = 800): Promise<WindowLook> {
  const browser = await chromium.launch({
    executablePath: findBrowser(),
    args: ['--no-sandbox', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
  });
  const page = await browser.newPage({ viewport: { width, height } });
  // Texts, for they run in the page, whose world the bench does not know.
  await page.addInitScript(`
    globalThis.tasks = [];
    new PerformanceObserver((list) => tasks.push(...list.getEntries().map(({ duration }) => duration)))
      .observe({ type: 'longtask', buffered: true });`);
  const from = performance.now();
  const server = await startServer(library);
  try {
    await page.goto(server.url);
    await page.goto(`${new URL(server.url).origin}/#/ink/1/scans?scan=white`);
    while (!(await page.evaluate<boolean>(`document.querySelector('img.viewer-overview')?.naturalWidth > 0`))) {
      await page.waitForTimeout(20);
    }
    const sample = (performance.now() - from) / 1000;
    await page.getByRole('button', { name: /^Measure/ }).click();
    await page.getByText('all up to date').waitFor({ timeout: 120_000 });
    const heat = await dragPin(page);
    await page.goto(`${new URL(server.url).origin}/#/ink/1/findings?finding=shading(b-white)`);
    await page.locator('.findings-marks').first().waitFor();
    await page.waitForTimeout(2000);
    const tasks = await page.evaluate<number[]>('tasks');
    return { sample, heatMedian: at(heat, 0.5), heat95: at(heat, 0.95), longestTask: Math.max(0, ...tasks) };
  } finally {
    await browser.close();
    await server.stop();
  }
}

/** Pins a colour in the middle of the view, shows the map and drags the pin about. */
async function dragPin(page: Page): Promise<number[]> {
  const box = await page.locator('.viewer-picture').first().boundingBox();
  if (!box) throw new Error('no scan is in view');
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.waitForTimeout(1500);
  await page.keyboard.press('p');
  await page.mouse.click(x, y);
  await page.getByRole('button', { name: /ΔE00 map/, disabled: false }).click();
  await page.locator('.heat-map').waitFor();
  await page.waitForTimeout(1000);
  await page.evaluate('performance.clearMeasures()');
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 1; i <= 40; i++) {
    await page.mouse.move(x + 60 * Math.sin(i / 4), y + 40 * Math.cos(i / 3));
    await page.waitForTimeout(40);
  }
  await page.mouse.up();
  return page.evaluate<number[]>(`performance.getEntriesByName('heat map').map(({ duration }) => duration)`);
}

function at(values: readonly number[], share: number): number {
  return values.toSorted((a, b) => a - b)[Math.min(values.length - 1, Math.floor(share * values.length))] ?? NaN;
}
