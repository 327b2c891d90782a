/** A target as a person handles it, in a real browser: said, found, placed by hand, turned, taken back, evened by a white sheet. */
import { expect, test } from 'vitest';
import { drawChart, drawWhite } from '../backend/targetScans.ts';
import { type Box, settledBox } from './inSight.ts';
import { targetBench } from './targetBench.ts';

const chart = drawChart();
/** Two charts: the program cannot know which is meant. */
const two = drawChart({ sizeMm: [210, 190], centreMm: [72, 48], moreAtMm: [[130, 140]], beside: [] });
const bench = targetBench('calibration', { 'chart.png': chart.png, 'two.png': two.png, 'white.png': drawWhite() });
const { page, target, point, seen } = bench;

test('a scan without a target says what that costs, and what to do', async () => {
  await bench.newInk('Sandpiper Slate');
  await bench.bring('chart.png');
  await target()
    .getByText(/^Not calibrated\. .*sRGB.*several ΔE00/)
    .waitFor();
  await target()
    .getByText(/^Lay a target with known colours on the glass/)
    .waitFor();
  expect(await target().getByText('Find a target on this scan').count()).toBe(1);
  await seen('target-none', true);
});

test('a small chart is proposed with the values that fit it; others come last with why', async () => {
  await target().getByText('Find a target on this scan').click();
  const values = target().getByRole('button', { name: /Reference values/ });
  await values.getByText(/4 × 6 chart: published/).waitFor();
  await values.click();
  const options = page().getByRole('option');
  expect(await options.first().textContent()).toMatch(/4 × 6 chart/);
  expect(await options.last().textContent()).toMatch(/does not fit: lacks/);
  await seen('target-choice');
  await page().keyboard.press('Escape');
});

test('it is found, its grid lies on the scan, and the panel says how sure that is and what it is worth', async () => {
  await target().getByRole('button', { name: 'Find the target here' }).click();
  await bench.calibrated();
  await target()
    .getByText(/^Found .*: sure\./)
    .waitFor();
  await expect.poll(() => page().locator('.target-patch').count()).toBe(24);
  // The first patch's box lies where the chart was drawn.
  const box = await settledBox(page().locator('.target-patch').first());
  const [x, y] = await bench.placeOf(chart.pointsMm[0]);
  expect(Math.hypot(box.x - x, box.y - y)).toBeLessThan(4);
  // The worst patch's figure lies within a patch, clear of its neighbours' and of the points' numbers.
  const figure = await settledBox(page().locator('.target-marks > .mark-words').first());
  const patches = await Promise.all((await page().locator('.target-patch').all()).map((one) => one.boundingBox()));
  const isWithin = (outer: Box | null) =>
    outer !== null &&
    figure.x > outer.x &&
    figure.y > outer.y &&
    figure.x + figure.width < outer.x + outer.width &&
    figure.y + figure.height < outer.y + outer.height;
  expect(patches.filter(isWithin)).toHaveLength(1);
  await seen('target-found-chart', true);
});

test('which of two charts is meant cannot be told: four corners are placed by hand, turned, moved by keys, taken back', async () => {
  await bench.bring('two.png');
  await bench.openScan('two');
  await target().getByText('Find a target on this scan').click();
  await target()
    .getByRole('button', { name: /Serves/ })
    .click();
  await page().getByRole('option', { name: 'This scan alone' }).click();
  await target().getByRole('button', { name: 'Find the target here' }).click();
  const place = target().getByRole('button', { name: 'Place its four corners' });
  await place.waitFor({ timeout: 60_000 });
  expect(await target().getByRole('alert').textContent()).toMatch(/two\.png: .*(two|2|twice)/i);
  // In the list of scans, and once beside the target.
  await expect
    .poll(() =>
      page()
        .getByText(/^two\.png: /)
        .count(),
    )
    .toBe(2);
  await seen('target-refused');
  await place.click();
  await target()
    .getByText(/Put the four points on the outer corners/)
    .waitFor();
  await expect.poll(() => page().locator('.target-patch').count()).toBe(24);
  await seen('target-corners-started', true);

  // By mouse, a quarter turn off: what is asked for is four corners, in no order.
  for (const n of [1, 2, 3, 4]) await bench.dragPoint(n, two.pointsMm[n % 4]);
  await bench.shown('target-corners-turned');
  for (let turns = 0; turns < 3; turns++) await page().keyboard.press('t');
  const xOf = async () => {
    const box = await point(1).locator('circle').first().boundingBox();
    return box ? box.x + box.width / 2 : 0;
  };
  const [before] = await bench.placeOf(two.pointsMm[0]);
  await expect.poll(async () => Math.abs((await xOf()) - before)).toBeLessThan(2);
  // By keyboard, a step too far, and back.
  await point(1).focus();
  await page().keyboard.press('Alt+ArrowRight');
  await expect.poll(xOf).toBeGreaterThan(before + 20);
  await page().keyboard.press('Control+z');
  await expect.poll(async () => Math.abs((await xOf()) - before)).toBeLessThan(2);
  await page().keyboard.press('Enter');
  await target()
    .getByText(/^Its four points are where you put them/)
    .waitFor({ timeout: 60_000 });
  await target()
    .getByText(/^Good: |^Usable: /)
    .waitFor();
  expect(await bench.leftOut()).toBeLessThan(1.5);
  await seen('target-corners-placed', true);

  // Moved once more and used, then undone: in the library each use is one step.
  const cornerX = async () => (await bench.work()).scans.find(({ id }) => id === 'two')?.target?.pointsMm?.[0][0] ?? 0;
  const x = await cornerX();
  await point(1).focus();
  await page().keyboard.press('Shift+ArrowRight');
  await page().keyboard.press('Enter');
  await expect.poll(cornerX).toBeCloseTo(x + 1, 1);
  await page()
    .getByRole('button', { name: /^Undo move the points/ })
    .click();
  await expect.poll(cornerX).toBeCloseTo(x, 1);
});

test('a white sheet evens the light, and is chosen among the ink’s scans', async () => {
  await bench.bring('white.png');
  await bench.openScan('chart');
  await target()
    .getByRole('button', { name: /White sheet/ })
    .click();
  await page()
    .getByRole('option', { name: /^white/ })
    .click();
  await expect.poll(async () => (await bench.work()).target?.white).toBe('white');
  await bench.calibrated();
  await bench.shown('target-white');
});

test('the report card opens from the panel', async () => {
  await target().getByRole('link', { name: 'Report card' }).click();
  await page().waitForURL(/#\/ink\/2\/calibration\?scan=chart/);
  await page().getByText('4 × 6 colour-rendition chart').first().waitFor();
  await page().goBack();
  await page().getByRole('heading', { name: 'Scan “chart”' }).waitFor();
  expect(page().url()).toMatch(/#\/ink\/2\/scans/);
});

test('every state on the way can be used by those who do not see it, and the browser has nothing to complain of', () => {
  expect(bench.unheard).toEqual([]);
  expect(bench.complaints()).toEqual([]);
});
