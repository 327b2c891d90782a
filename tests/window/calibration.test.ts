/** Everything that a person does with a target, in a real browser: said, found, placed by hand, evened, printed, taught. */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Edit, KnownTargetFiles, Work } from '../../electron/backend/api.ts';
import { drawCard, drawChart, drawChartAndCard, drawWhite, DPI } from '../backend/targetScans.ts';
import { violations } from './accessible.ts';
import { running } from './running.ts';
import { type OpenedWindow, openWindow, picture, pictured, SCREENS, temporaryFolder } from './startWindow.ts';

const bench = running('calibration');
const desk = temporaryFolder('targets');
afterAll(() => desk.remove());

const chart = drawChart();
/** Two charts, one of them the wrong one: the program cannot know which. */
const two = drawChart({ sizeMm: [210, 190], centreMm: [72, 48], moreAtMm: [[130, 140]], beside: [] });
const both = drawChartAndCard();
const FILES: Readonly<Record<string, Buffer>> = {
  'chart.png': chart.png,
  'two.png': two.png,
  'both.png': both.png,
  'white.png': drawWhite(),
  'card.png': drawCard(),
};

let opened: OpenedWindow;
let page: Page;
beforeAll(async () => {
  for (const [name, bytes] of Object.entries(FILES)) writeFileSync(join(desk.path, name), bytes);
  opened = await openWindow(bench.browser, bench.server.url);
  page = opened.page;
});

/** What axe found on the way. */
const unheard: string[] = [];
/** A picture of each state as it is on the bench's own screen and on a large one, and what axe says of it. */
async function seen(name: string, large = false): Promise<void> {
  await pictured(opened);
  await picture(page, `${name}-1280`);
  unheard.push(...(await violations(page)).map((line) => `${name}: ${line}`));
  if (!large) return;
  await page.setViewportSize(SCREENS.large);
  await page.waitForTimeout(1000);
  await pictured(opened);
  await picture(page, `${name}-2560`);
  await page.setViewportSize(SCREENS.small);
}

const target = () => page.getByRole('region', { name: 'Target' });
const point = (n: number) => page.getByRole('button', { name: new RegExp(`^Target point ${n},`) });

async function bringScans(...names: string[]): Promise<void> {
  await page
    .locator('input[type=file][aria-label=Files]')
    .first()
    .setInputFiles(names.map((name) => join(desk.path, name)));
  const [last] = names.slice(-1);
  await page
    .getByRole('navigation', { name: 'Scans of this ink' })
    .getByText(last.replace('.png', ''), { exact: true })
    .waitFor();
}

async function openScan(id: string): Promise<void> {
  await page.getByRole('navigation', { name: 'Scans of this ink' }).getByText(id, { exact: true }).click();
  await page.getByRole('heading', { name: `Scan “${id}”` }).waitFor();
}

async function work(): Promise<Work> {
  const text = await page.evaluate(() => fetch('/api/inks/2').then((answer) => answer.text()));
  const value: Work = JSON.parse(text);
  return value;
}

async function sendEdit(edit: Edit): Promise<void> {
  const status = await page.evaluate(
    (body) => fetch('/api/inks/2/edits', { method: 'POST', body }).then((answer) => answer.status),
    JSON.stringify({ edit }),
  );
  expect(status).toBe(200);
}

test('a scan without a target says what that costs, and the card can be printed', async () => {
  await page.getByRole('button', { name: 'New ink' }).click();
  await page.getByLabel('Name of the ink').fill('Sandpiper Slate');
  await page.getByRole('button', { name: 'Make the ink' }).click();
  await page.getByText('Lay the page square on the scanner').waitFor();
  await bringScans('chart.png');
  await target()
    .getByText(/^Not calibrated\. .*sRGB.*several ΔE00/)
    .waitFor();
  await seen('target-none', true);
  await target().getByText('No target? Print our card').click();
  await target()
    .getByText(/50\smm/)
    .waitFor();
  for (const [name, file] of [
    ['Card for A4 (PDF)', 'Wetline card A4.pdf'],
    ['Card for US Letter (PDF)', 'Wetline card Letter.pdf'],
  ]) {
    const coming = page.waitForEvent('download');
    await target().getByRole('link', { name }).click();
    const download = await coming;
    expect(download.suggestedFilename()).toBe(file);
    expect(
      readFileSync(await download.path())
        .subarray(0, 5)
        .toString(),
    ).toBe('%PDF-');
  }
  await seen('target-card-print');
});

test('a small chart is proposed with the values that fit it; others come last with why', async () => {
  await target().getByText('Find a target on this scan').click();
  const values = target().getByRole('button', { name: /Reference values/ });
  await values.getByText(/4 × 6 chart: published/).waitFor();
  await values.click();
  const options = page.getByRole('option');
  const [first, last] = [await options.first().textContent(), await options.last().textContent()];
  expect(first).toMatch(/4 × 6 chart/);
  expect(last).toMatch(/does not fit: .*lacks/);
  await seen('target-choice', true);
  await page.keyboard.press('Escape');
});

test('it is found, its grid lies on the scan, and the panel says how sure that is and what it is worth', async () => {
  await target().getByRole('button', { name: 'Find the target here' }).click();
  await target()
    .getByText(/Left out/)
    .waitFor({ timeout: 60_000 });
  await target()
    .getByText(/^Found .*sure/)
    .waitFor();
  expect(await page.locator('.target-patch').count()).toBe(24);
  // The first patch's box lies where the chart was drawn.
  const [x, y] = await placeOf(chart.pointsMm[0]);
  const box = await page.locator('.target-patch').first().boundingBox();
  expect(Math.hypot((box?.x ?? 0) - x, (box?.y ?? 0) - y)).toBeLessThan(4);
  await seen('target-found-chart', true);
});

test('which of two charts is meant cannot be told: four corners are placed by hand, turned, moved by keys, taken back', async () => {
  await bringScans('two.png');
  await openScan('two');
  await target().getByText('Find a target on this scan').click();
  await target()
    .getByRole('button', { name: /Serves/ })
    .click();
  await page.getByRole('option', { name: 'This scan alone' }).click();
  await target().getByRole('button', { name: 'Find the target here' }).click();
  const place = target().getByRole('button', { name: 'Place its four corners' });
  await place.waitFor({ timeout: 60_000 });
  await seen('target-refused', true);
  await place.click();
  await target()
    .getByText(/Put the four points on the outer corners/)
    .waitFor();
  expect(await page.locator('.target-patch').count()).toBe(24);
  await seen('target-corners-started', true);

  // By mouse, a quarter turn off: what is asked for is four corners, in no order.
  for (const n of [1, 2, 3, 4]) await dragPoint(n, two.pointsMm[n % 4]);
  await seen('target-corners-turned');
  for (let turns = 0; turns < 3; turns++) await page.keyboard.press('t');
  // By keyboard, a step too far, and back.
  const xOf = async () => (await point(1).locator('circle').first().boundingBox())?.x ?? 0;
  const before = await xOf();
  await point(1).focus();
  await page.keyboard.press('Alt+ArrowRight');
  await expect.poll(xOf).toBeGreaterThan(before + 20);
  await page.keyboard.press('Control+z');
  await expect.poll(async () => Math.abs((await xOf()) - before)).toBeLessThan(1);
  await page.keyboard.press('Enter');
  await target()
    .getByText(/^Its four points are where you put them/)
    .waitFor({ timeout: 60_000 });
  await target()
    .getByText(/^Good: |^Usable: /)
    .waitFor();
  expect(await leftOut()).toBeLessThan(1.5);
  await seen('target-corners-placed', true);

  // Moved once more and used, then undone: the library has each use as one step.
  const cornerOf = async () => (await work()).scans.find(({ id }) => id === 'two')?.target?.pointsMm?.[0] ?? [0, 0];
  const [x] = await cornerOf();
  await point(1).focus();
  await page.keyboard.press('Shift+ArrowRight');
  await page.keyboard.press('Enter');
  await expect.poll(async () => (await cornerOf())[0]).toBeCloseTo(x + 1, 1);
  await page.getByRole('button', { name: /^Undo move the points/ }).click();
  await expect.poll(async () => (await cornerOf())[0]).toBeCloseTo(x, 1);
});

test('a white sheet evens the light, and is chosen among the ink’s scans', async () => {
  await bringScans('white.png');
  await openScan('chart');
  await target()
    .getByRole('button', { name: /White sheet/ })
    .click();
  await page.getByRole('option', { name: /^white/ }).click();
  await expect.poll(async () => (await work()).target?.white).toBe('white');
  await target()
    .getByText(/Left out/)
    .waitFor({ timeout: 60_000 });
  await seen('target-white');
});

test('the report card opens from the panel', async () => {
  await target().getByRole('link', { name: 'Report card' }).click();
  await page.waitForURL(/#\/ink\/2\/calibration\?scan=chart/);
  await page.getByText('4 × 6 colour-rendition chart').first().waitFor();
  await page.goBack();
  await page.getByRole('heading', { name: 'Scan “chart”' }).waitFor();
  expect(page.url()).toMatch(/#\/ink\/2\/scans/);
});

test('the card is taught beside the chart, and is what is proposed for the next scan', async () => {
  await bringScans('both.png');
  await openScan('both');
  await sendEdit({
    edit: 'setTarget',
    serves: 'both',
    target: { ...(await builtInChart()), scan: 'both', pointsMm: both.pointsMm },
  });
  await target()
    .getByText(/Left out/)
    .waitFor({ timeout: 60_000 });
  await target().getByText('Teach the card from this scan').click();
  await target().getByRole('button', { name: 'Teach the card' }).click();
  const taught = target().getByRole('region', { name: 'What the card was taught' });
  await taught.waitFor({ timeout: 60_000 });
  await taught.getByText(/^Card taught \d/).waitFor();
  await taught.getByText('Its values').click();
  expect(await taught.getByRole('row').count()).toBe(97);
  await taught.getByText('Its values').click();
  await taught.scrollIntoViewIfNeeded();
  await seen('card-taught', true);

  await bringScans('card.png');
  await openScan('card');
  await target().getByText('Find a target on this scan').click();
  await target()
    .getByRole('button', { name: /Reference values/ })
    .getByText(/^Card taught/)
    .waitFor();
  await target().getByRole('button', { name: 'Find the target here' }).click();
  await target()
    .getByText(/^Found by its four discs/)
    .waitFor({ timeout: 60_000 });
  expect(await leftOut()).toBeLessThan(2);
  await seen('card-found');
});

test('every state on the way can be used by those who do not see it, and the browser has nothing to complain of', () => {
  expect(unheard).toEqual([]);
  // A refused calibration, and a picture in colours that are no longer the scan’s, are answers which a browser calls failures.
  expect(opened.complaints.filter((line) => !/\/(targets|tiles|overview)\//.test(line))).toEqual([]);
});

async function builtInChart(): Promise<{ layout: string; reference: string }> {
  const text = await page.evaluate(() => fetch('/api/targets').then((answer) => answer.text()));
  const { layouts, references }: KnownTargetFiles = JSON.parse(text);
  const hashOf = (files: readonly { name: string; hash: string }[]) =>
    files.find(({ name }) => name === 'chart-4x6')?.hash ?? '';
  return { layout: hashOf(layouts), reference: hashOf(references) };
}

/** ΔE00, median of patches left out, as the panel says it. */
async function leftOut(): Promise<number> {
  const text = await target()
    .getByText(/ΔE00 \(median\)/)
    .textContent({ timeout: 2000 });
  return Number(/[\d.]+/.exec(text ?? '')?.[0] ?? NaN);
}

/** Where a place of the scan lies on the screen. @param mm of the scan */
async function placeOf([x, y]: readonly [number, number]): Promise<[number, number]> {
  const pxPerMm = DPI / 25.4;
  return page
    .locator('svg.viewer-marks > g')
    .first()
    .evaluate(
      (layer, [cx, cy]) => {
        if (!(layer instanceof SVGGraphicsElement)) throw new Error('the marks are no SVG');
        const at = new DOMPoint(cx, cy).matrixTransform(layer.getScreenCTM() ?? undefined);
        return [at.x, at.y] satisfies [number, number];
      },
      [x * pxPerMm, y * pxPerMm] as const,
    );
}

async function dragPoint(n: number, mm: readonly [number, number]): Promise<void> {
  const box = await point(n).locator('circle').first().boundingBox();
  if (!box) throw new Error(`point ${n} is not in sight`);
  const [x, y] = await placeOf(mm);
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move((box.x + x) / 2, (box.y + y) / 2, { steps: 3 });
  await page.mouse.move(x, y, { steps: 3 });
  await page.mouse.up();
  await page.waitForTimeout(300);
}
