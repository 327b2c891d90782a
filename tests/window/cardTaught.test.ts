/** Our own card in a real browser: printed, taught beside a known target, and found by itself. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { drawCard, drawChartAndCard } from '../backend/targetScans.ts';
import { targetBench } from './targetBench.ts';

const both = drawChartAndCard();
const bench = targetBench('card', { 'both.png': both.png, 'card.png': drawCard() });
const { page, target, seen } = bench;

test('it is printed from a scan that has no target, for either paper', async () => {
  await bench.newInk('Turnstone Tea');
  await bench.bring('both.png');
  await target().getByText('No target? Print our card').click();
  await target()
    .getByText(/50\smm/)
    .waitFor();
  await seen('target-card-print', true);
  for (const [link, file] of [
    ['Card for A4 (PDF)', 'Wetline card A4.pdf'],
    ['Card for US Letter (PDF)', 'Wetline card Letter.pdf'],
  ]) {
    const coming = page().waitForEvent('download');
    await target().getByRole('link', { name: link }).click();
    const download = await coming;
    expect(download.suggestedFilename()).toBe(file);
    expect(
      readFileSync(await download.path())
        .subarray(0, 5)
        .toString(),
    ).toBe('%PDF-');
  }
});

test('it is taught beside the chart: what it knows and what that costs', async () => {
  await bench.sendEdit({
    edit: 'setTarget',
    serves: 'both',
    target: { ...(await bench.builtInChart()), scan: 'both', pointsMm: both.pointsMm },
  });
  await bench.calibrated();
  await target().getByText('Teach the card from this scan').click();
  await target().getByRole('button', { name: 'Teach the card' }).click();
  const taught = target().getByRole('region', { name: 'What the card was taught' });
  await taught.waitFor({ timeout: 60_000 });
  await taught.getByText(/^Card taught \d/).waitFor();
  await taught.getByText('Its values').click();
  await expect.poll(() => taught.getByRole('row').count()).toBe(97);
  await taught.getByText('Its values').click();
  await taught.scrollIntoViewIfNeeded();
  await seen('card-taught', true);
});

test('it is what is proposed for the next scan, and is found there by itself', async () => {
  await bench.bring('card.png');
  await bench.openScan('card');
  await target().getByText('Find a target on this scan').click();
  await target()
    .getByRole('button', { name: /Reference values/ })
    .getByText(/^Card taught/)
    .waitFor();
  await target().getByRole('button', { name: 'Find the target here' }).click();
  await bench.calibrated();
  await target()
    .getByText(/^Found by its four discs/)
    .waitFor();
  expect(await bench.leftOut()).toBeLessThan(2);
  await seen('card-found');
});

test('a card beside nothing that is known is not taught: why, and what to do', async () => {
  // The card is the target of its own scan, and cannot teach itself.
  expect(await target().getByText('Teach the card from this scan').count()).toBe(0);
  await bench.openScan('both');
  expect(await target().getByText('Teach the card from this scan').count()).toBe(1);
});

test('every state on the way can be used by those who do not see it, and the browser has nothing to complain of', () => {
  expect(bench.unheard).toEqual([]);
  expect(bench.complaints()).toEqual([]);
});
