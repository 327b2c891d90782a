/** The window in a real browser: from the start of the process to the sample on the screen, the map of differences, and how long its thread is ever busy. */
import type { Page } from 'playwright-core';
import { startServer } from '../tests/window/startWindow.ts';
import { launchPersonsBrowser } from './personsBrowser.ts';

export interface WindowLook {
  /** Seconds from the start of the process until the sample's scan is seen. */
  readonly sample: number;
  /** Milliseconds from a move of the pinned colour until the map is drawn: median and 95th percentile. */
  readonly heatMedian: number;
  readonly heat95: number;
  /** The longest task on the page's thread while all pages were opened, a scan zoomed and panned and the pin dragged, ms; 0: none over 50. */
  readonly longestTask: number;
}

export interface FirstLook {
  /** Seconds from the start of program and browser, side by side, until the sample's scan is seen, */
  readonly sample: number;
  /** and until one of its findings is. */
  readonly finding: number;
}

/** The very first start. @param library none is there yet */
export async function firstLook(library: string, width = 1280, height = 800): Promise<FirstLook> {
  const from = performance.now();
  const seconds = (): number => (performance.now() - from) / 1000;
  const starting = launchPersonsBrowser();
  const server = await startServer(library);
  const browser = await starting;
  try {
    const page = await browser.newPage({ viewport: { width, height } });
    await page.goto(server.url);
    await page.goto(`${new URL(server.url).origin}/#/ink/1/scans?scan=white`);
    await overviewSeen(page);
    const sample = seconds();
    await page.goto(`${new URL(server.url).origin}/#/ink/1/findings`);
    await page.locator('[data-finding="shading(b-white)"]').waitFor();
    return { sample, finding: seconds() };
  } finally {
    await browser.close();
    await server.stop();
  }
}

async function overviewSeen(page: Page): Promise<void> {
  while (!(await page.evaluate<boolean>(`document.querySelector('img.viewer-overview')?.naturalWidth > 0`))) {
    await page.waitForTimeout(20);
  }
}

/** @param library one that is there already */
export async function windowLook(library: string, width = 1280, height = 800): Promise<WindowLook> {
  const browser = await launchPersonsBrowser();
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
    await overviewSeen(page);
    const sample = (performance.now() - from) / 1000;
    await page.getByRole('button', { name: /^Measure/ }).click();
    await page.getByText('all up to date').waitFor({ timeout: 120_000 });
    await zoomAndPan(page);
    const heat = await dragPin(page);
    await page.goto(`${new URL(server.url).origin}/#/ink/1/findings?finding=shading(b-white)`);
    await page.locator('.findings-marks').first().waitFor();
    await page.waitForTimeout(2000);
    await page.goto(`${new URL(server.url).origin}/#/ink/1/findings?show=plots`);
    await page.waitForTimeout(1500);
    await page.goto(`${new URL(server.url).origin}/#/shelf`);
    await page.waitForTimeout(1000);
    const tasks = await page.evaluate<number[]>('tasks');
    return { sample, heatMedian: at(heat, 0.5), heat95: at(heat, 0.95), longestTask: Math.max(0, ...tasks) };
  } finally {
    await browser.close();
    await server.stop();
  }
}

/** The wheel in the middle of the view, and a pan. */
async function zoomAndPan(page: Page): Promise<void> {
  const [x, y] = await middleOfView(page);
  await page.mouse.move(x, y);
  for (const by of [-300, -300, -300, 300, 300, 300]) {
    await page.mouse.wheel(0, by);
    await page.waitForTimeout(150);
  }
  await page.mouse.down();
  for (let i = 1; i <= 15; i++) {
    await page.mouse.move(x - 10 * i, y - 6 * i);
    await page.waitForTimeout(30);
  }
  await page.mouse.move(x, y);
  await page.mouse.up();
  await page.waitForTimeout(1000);
}

async function middleOfView(page: Page): Promise<[x: number, y: number]> {
  const box = await page.locator('.viewer-picture').first().boundingBox();
  if (!box) throw new Error('no scan is in view');
  return [box.x + box.width / 2, box.y + box.height / 2];
}

/** Pins a colour in the middle of the view, shows the map and drags the pin about. */
async function dragPin(page: Page): Promise<number[]> {
  const [x, y] = await middleOfView(page);
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
