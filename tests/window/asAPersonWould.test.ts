/** An evening with the window: scans brought, boxes drawn, measured, looked at, taken back, and all of it there the next day. */
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { beforeAll, expect, test } from 'vitest';
import { violations } from './accessible.ts';
import { picturesCome, settledBox } from './inSight.ts';
import { running } from './running.ts';
import { chooseFiles, type OpenedWindow, openWindow, picture, pictured, SCREENS, startServer } from './startWindow.ts';

const SAMPLES = fileURLToPath(new URL('../../sample-scans', import.meta.url));
const bench = running('evening');
let opened: OpenedWindow;
let page: Page;
beforeAll(async () => {
  opened = await openWindow(bench.browser, bench.server.url);
  page = opened.page;
});

/** What axe found on the way, page by page. */
const unheard: string[] = [];
async function heard(): Promise<void> {
  unheard.push(...(await violations(page)));
}

const samples = (...names: string[]) => names.map((name) => join(SAMPLES, name));
/** While it is chosen, its grips are drawn once more above all others. */
const region = (id: string) => page.locator(`[data-region="${id}"]`).first();

test('a new ink takes the scans that are brought', async () => {
  await page.getByRole('button', { name: 'New ink' }).click();
  await page.getByLabel('Name of the ink').fill('Plover Blue');
  await page.getByLabel('Maker (may stay empty)').fill('Marram & Tide');
  await page.getByRole('button', { name: 'Make the ink' }).click();
  await page.getByText('Lay the page square on the scanner').waitFor();
  await picture(page, 'scans-empty-1280');
  await heard();
  // Who goes elsewhere while the dialog is open, or is led there by files that came before, still chose for this ink.
  await chooseFiles(page, samples('white.png', 'target.png', 'layout.json', 'reference.txt'), async () => {
    await page.getByRole('link', { name: 'Shelf' }).first().click();
    await page.getByRole('heading', { name: 'Shelf' }).waitFor();
  });
  const list = page.getByRole('navigation', { name: 'Scans of this ink' });
  await list.getByText('white', { exact: true }).waitFor();
  await list.getByText('target', { exact: true }).waitFor();
  await pictured(opened);
  await picture(page, 'scans-brought-1280');
  // The scan is on the screen, not merely in the list.
  expect(await picturesCome(page.locator('img.viewer-overview'), 1)).toHaveLength(1);
});

test('a scan that nobody has moved is seen whole: beside another, alone again, in a smaller window', async () => {
  const height = async () => Math.round((await settledBox(page.locator('img.viewer-overview').first())).height);
  const alone = await height();
  const beside = page.getByRole('button', { name: /^Beside: lay “/ });
  const [, other] = /“(.+)”/.exec((await beside.getAttribute('aria-label')) ?? '') ?? [];
  await beside.click();
  await expect.poll(height, { timeout: 10_000 }).toBeLessThan(alone - 20);
  await page.getByRole('button', { name: `In sight: take “${other}” off the bench` }).click();
  await expect.poll(height, { timeout: 10_000 }).toBe(alone);
  await page.setViewportSize({ width: 1024, height: 700 });
  await expect.poll(height, { timeout: 10_000 }).toBeLessThan(alone - 20);
  // The small screen at 200 %: less of the scan would be no use.
  await page.setViewportSize({ width: SCREENS.small.width / 2, height: SCREENS.small.height / 2 });
  await expect.poll(height, { timeout: 10_000 }).toBeGreaterThan(200);
  await page.setViewportSize(SCREENS.small);
  await expect.poll(height, { timeout: 10_000 }).toBe(alone);
  expect(page.url()).not.toContain('at=');
});

test('while the window is pulled, no frame shows the scan in one size and its marks in another', async () => {
  await settledBox(page.locator('img.viewer-overview').first());
  // Before a frame is painted: how far the middle of the scan, as its marks have it, lies from the middle of where it is drawn.
  await page.evaluate(() => {
    const place = document.querySelector('.viewer-tiles');
    const marks = document.querySelector<SVGGElement>('.viewer-marks > g');
    const width = Number(document.querySelector('.viewer-overview')?.getAttribute('width'));
    if (!place || !marks) throw new Error('no scan is in view');
    new ResizeObserver(() => {
      const { a, e } = marks.transform.baseVal.getItem(0).matrix;
      performance.mark('off the middle', { detail: e + (a * width) / 2 - place.clientWidth / 2 });
    }).observe(place);
  });
  const off = (): Promise<number[]> =>
    page.evaluate(() =>
      performance.getEntriesByName('off the middle').map((at) => ('detail' in at ? Number(at.detail) : NaN)),
    );
  const frames = async (): Promise<number> => (await off()).length;
  await expect.poll(frames).toBe(1);
  for (const width of [1240, 1180, 1100, SCREENS.small.width]) {
    const before = await frames();
    await page.setViewportSize({ ...SCREENS.small, width });
    await expect.poll(frames).toBeGreaterThan(before);
  }
  expect((await off()).filter((px) => !(Math.abs(px) < 1))).toEqual([]);
});

/** By the browser's trace: what is laid out anew because all around it is. */
test('while the pointer moves over a scan, no rulers and marks are laid out anew', async () => {
  const { x, y } = await settledBox(page.locator('.viewer-picture').first());
  await page.mouse.move(x + 40, y + 40);
  await bench.browser.startTracing(page, {
    categories: ['disabled-by-default-devtools.timeline', 'disabled-by-default-devtools.timeline.invalidationTracking'],
  });
  for (const by of [60, 80, 100]) {
    await page.mouse.move(x + by, y + by);
    await page.evaluate(() => new Promise(requestAnimationFrame));
  }
  const trace: { readonly traceEvents: readonly TraceEvent[] } = JSON.parse(String(await bench.browser.stopTracing()));
  const laidOut = trace.traceEvents.filter(({ name }) => name === 'LayoutInvalidationTracking');
  const why = laidOut.map(({ args }) => args.data?.reason);
  expect(why).toContain('Text changed');
  expect(why.filter((reason) => reason === 'Size changed' || reason === 'SVG changed')).toEqual([]);
});

interface TraceEvent {
  readonly name: string;
  readonly args: { readonly data?: { readonly reason?: string } };
}

test('the target is found on its scan and serves the others', async () => {
  const list = page.getByRole('navigation', { name: 'Scans of this ink' });
  await list.getByText('target', { exact: true }).click();
  await page.getByText('Find a target on this scan').click();
  await page.getByRole('button', { name: 'Find the target here' }).click();
  await page.getByText(/Left out/).waitFor({ timeout: 100_000 });
  await expect.poll(() => page.getByRole('button', { name: /^Target point/ }).count()).toBe(4);
  await pictured(opened);
  await picture(page, 'target-found-1280');
  await heard();
  await list.getByText('white', { exact: true }).click();
  await page
    .getByText(/colours through the calibration \(good, left out 0\.\d ΔE00\)/)
    .first()
    .waitFor();
});

test('a box is drawn with the mouse, typed and named; one off the scan is refused beside it', async () => {
  await pictured(opened);
  // Where the broad nib’s lines lie on the page (sample-scans/sheet.json).
  await page.keyboard.press('2');
  await dragOnScan([23, 98, 115, 37]);
  const form = page.getByRole('region', { name: /^Region/ });
  await form.waitFor();
  await form.getByRole('combobox', { name: 'Nib' }).fill('B');
  await form.getByRole('combobox', { name: 'Nib' }).press('Enter');
  await page.getByRole('button', { name: /^Undo set the nib/ }).waitFor();
  // Whoever types goes on from there, and the list tells every nib, not only the one that stands in the field.
  expect(await page.evaluate(() => document.activeElement?.getAttribute('role'))).toBe('combobox');
  await form.getByRole('button', { name: 'Known: Nib' }).click();
  await page.getByRole('option', { name: 'EF' }).waitFor();
  await page.keyboard.press('Escape');
  await form.getByRole('textbox', { name: 'Name' }).fill('broad');
  await form.getByRole('textbox', { name: 'Name' }).press('Enter');
  await region('broad').waitFor();
  await picture(page, 'region-drawn-1280');
  await heard();
  await form.getByText(/^Box:/).click();
  await form.getByRole('textbox', { name: 'Left' }).fill('140');
  await form.getByRole('textbox', { name: 'Left' }).press('Tab');
  const refusal = form.getByRole('alert');
  await refusal.waitFor();
  expect(await refusal.textContent()).toMatch(/105 mm over the right edge; the scan is 150 × 212 mm/);
  await picture(page, 'region-refused-1280');
  await heard();
  // The box stays where it was.
  expect(await form.getByText(/^Box:/).textContent()).toMatch(/Box: 2[23]\.\d, 9[78]\.\d/);
});

test('what is measured appears, and can be seen on the scan', async () => {
  await page.getByRole('button', { name: /^Measure/ }).click();
  await page.getByRole('link', { name: /Findings/ }).click();
  const cell = page.locator('[data-finding="shading(broad)"]');
  await cell.waitFor({ timeout: 100_000 });
  await page.getByRole('button', { name: /all up to date/ }).waitFor({ timeout: 100_000 });
  await cell.click();
  await page.locator('.reading-sentence', { hasText: /shades by\s\d/ }).waitFor();
  await pictured(opened);
  // The stroke mask lies over the scan: more than its first corner is painted.
  await expect.poll(() => paintedShare('.findings-marks'), { timeout: 20_000 }).toBeGreaterThan(0.001);
  await picture(page, 'own-finding-1280');
  await heard();
});

test('undo takes the box away and redo brings it back', async () => {
  await page.getByRole('link', { name: /Scans/ }).click();
  // Findings show boxes too: what counts are those that this page draws.
  await page.locator('.region-mark [data-region="broad"]').first().waitFor();
  // One press after another has been answered: more than are needed would take the scan away.
  const press = async (keys: string): Promise<void> => {
    await page.keyboard.press(keys);
    await page.locator('[data-saving="saved"]').waitFor();
  };
  for (let step = 0; step < 8 && (await page.locator('[data-region]').count()) > 0; step++) await press('Control+z');
  expect(await page.locator('[data-region]').count()).toBe(0);
  await page.getByRole('button', { name: /^Redo/, disabled: false }).click();
  await page.locator('[data-region]').first().waitFor();
  for (let step = 0; step < 8 && (await region('broad').count()) === 0; step++) await press('Control+Shift+z');
  await region('broad').waitFor();
});

test('a box made by keys has the focus, says where it lies as it moves, and Enter leads to its fields', async () => {
  const said = page.locator('output.said');
  const focused = () => page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? '');
  await page.keyboard.press('Escape');
  await page.keyboard.press('3');
  await said.getByText(/^Swab: drag a box round/).waitFor();
  await page.keyboard.press('n');
  await expect.poll(focused).toMatch(/^Swab “swab-1”/);
  await page.keyboard.press('Shift+ArrowRight');
  await said.getByText(/^“swab-1”: \d+\.\d mm from the left/).waitFor();
  await page.keyboard.press('Enter');
  const form = page.getByRole('region', { name: /^Region/ });
  const name = form.getByRole('textbox', { name: 'Name' });
  await expect.poll(() => name.evaluate((field) => field === document.activeElement)).toBe(true);
  await page.keyboard.press('Escape');
  await page.keyboard.press('Delete');
  await said.getByText('Removed: “swab-1”. Undo brings it back.').waitFor();
  await page.locator('[data-saving="saved"]').waitFor();
});

test('after a reload, and after the program was killed, all is as it was', async () => {
  const before = await work();
  await page.reload();
  await region('broad').waitFor();
  expect(await work()).toEqual(before);
  await bench.server.kill();
  await page
    .getByText(/not answer|does not answer|lost|stopped/i)
    .first()
    .waitFor();
  await picture(page, 'server-gone-1280');
  bench.server = await startServer(bench.library);
  await page.goto(bench.server.url);
  await page.getByRole('link', { name: 'Plover Blue', exact: true }).click();
  expect(await work()).toEqual(before);
  const finding = await page.evaluate(() => fetch('/api/inks/2/findings').then((answer) => answer.text()));
  expect(finding).toContain('shading(broad)');
});

test('every state on the way can be used by those who do not see it', () => {
  expect(unheard).toEqual([]);
});

/** The ink’s work as the backend tells it, without what time changes. */
async function work(): Promise<unknown> {
  const text = await page.evaluate(() => fetch('/api/inks/2').then((answer) => answer.text()));
  const { scans, regions, target, undo, redo }: Record<string, unknown> = JSON.parse(text);
  return { scans, regions, target, undo, redo };
}

/** Drags over a box of the scan, mm. */
async function dragOnScan([x, y, width, height]: readonly [number, number, number, number]): Promise<void> {
  const pxPerMm = 300 / 25.4;
  const [from, to] = await page
    .locator('svg.viewer-marks > g')
    .first()
    .evaluate(
      (layer, corners) => {
        if (!(layer instanceof SVGGraphicsElement)) throw new Error('the marks are no SVG');
        const toScreen = layer.getScreenCTM();
        return corners.map(([cx, cy]) => {
          const at = new DOMPoint(cx, cy).matrixTransform(toScreen ?? undefined);
          return [at.x, at.y];
        });
      },
      [
        [x * pxPerMm, y * pxPerMm],
        [(x + width) * pxPerMm, (y + height) * pxPerMm],
      ],
    );
  await page.mouse.move(from[0], from[1]);
  await page.mouse.down();
  await page.mouse.move((from[0] + to[0]) / 2, (from[1] + to[1]) / 2, { steps: 4 });
  await page.mouse.move(to[0], to[1], { steps: 4 });
  await page.mouse.up();
}

async function paintedShare(canvas: string): Promise<number> {
  return page
    .locator(canvas)
    .first()
    .evaluate((node) => {
      if (!(node instanceof HTMLCanvasElement)) throw new Error('no canvas');
      const { width, height } = node;
      // Not laid out yet: there are no pixels to ask for.
      if (width * height === 0) return 0;
      const data = node.getContext('2d')?.getImageData(0, 0, width, height).data ?? new Uint8ClampedArray(4);
      let painted = 0;
      for (let i = 3; i < data.length; i += 4) if (data[i] > 0) painted++;
      return painted / (width * height);
    });
}
