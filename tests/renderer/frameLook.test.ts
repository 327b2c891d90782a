import { type Lab, converter } from 'culori';
import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { expect, test } from 'vitest';
import type { LabValue } from '../../analysis/quantity.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { surroundIn } from '../../renderer/frame/surround.ts';
import { Figure } from '../../renderer/look/Figure.tsx';
import { copyText, figureText } from '../../renderer/look/figureText.ts';
import { withinGamut } from '../../renderer/look/gamut.ts';
import { matchesKeys, spokenKeys } from '../../renderer/look/keyNames.ts';
import { plainNumber } from '../../renderer/look/plainNumber.ts';
import { mergedGroups } from '../../renderer/look/useKeys.ts';
import { Swatch, cssLab } from '../../renderer/look/Swatch.tsx';
import { changedWords, contentsWords, spreadPick } from '../../renderer/shelf/cardWords.ts';
import { matchInks } from '../../renderer/shelf/matchInks.ts';
import { placesOf } from '../../renderer/shelf/removedInks.ts';
import { card as emptyCard } from './emptyWork.ts';

const toSrgb = converter('rgb');
const toP3 = converter('p3');

/** How far a colour lies outside by culori, in linear light; negative: inside. */
function outsideBy([l, a, b]: LabValue, gamut: 'srgb' | 'p3'): number {
  const lab: Lab = { mode: 'lab', l, a, b };
  const { r, g, b: blue } = gamut === 'srgb' ? toSrgb(lab) : toP3(lab);
  const linear = (v: number) =>
    Math.abs(v) <= 0.04045 ? v / 12.92 : Math.sign(v) * ((Math.abs(v) + 0.055) / 1.055) ** 2.4;
  return Math.max(...[r, g, blue].flatMap((v) => [-linear(v), linear(v) - 1]));
}

test.each(['srgb', 'p3'] as const)('what the screen can show (%s) agrees with culori', (gamut) => {
  const random = seededRandom(411);
  const between = (low: number, high: number) => low + (high - low) * random();
  const seen = { inside: 0, outside: 0 };
  for (let i = 0; i < 4000; i++) {
    const lab: LabValue = [between(0, 100), between(-110, 110), between(-110, 110)];
    const outside = outsideBy(lab, gamut);
    // Within half a step of the edge either answer will do.
    if (Math.abs(outside - 0.002) < 0.0005) continue;
    expect(withinGamut(lab, gamut), `${lab.join(', ')}: outside by ${outside}`).toBe(outside < 0.002);
    seen[outside < 0.002 ? 'inside' : 'outside']++;
  }
  expect(seen.inside).toBeGreaterThan(500);
  expect(seen.outside).toBeGreaterThan(500);
});

test('white, black and grey can be shown; a strong green only on a wide screen', () => {
  for (const L of [0, 50, 100]) expect(withinGamut([L, 0, 0], 'srgb')).toBe(true);
  const green: LabValue = [86, -95, 80];
  expect([withinGamut(green, 'srgb'), withinGamut(green, 'p3')]).toEqual([false, true]);
});

test('a swatch is drawn in Lab and says when the screen cannot show it', () => {
  expect(cssLab([52.123, -3.456, 0])).toBe('lab(52.12 -3.46 0.00)');
  const exact = renderToStaticMarkup(createElement(Swatch, { lab: [50, 5, -20], label: 'ef' }));
  expect(exact).toContain('background-color:lab(50.00 5.00 -20.00)');
  expect(exact).not.toContain('exactly');
  const not = renderToStaticMarkup(createElement(Swatch, { lab: [50, 90, -90], label: 'ef', words: true }));
  expect(not.match(/cannot be shown exactly/g)).toHaveLength(3);
});

test.each([
  [3.2149, 0.07, 'ΔE00', '3.21 ± 0.14 ΔE00'],
  [-0.5, 0.2, 'ΔL*', '−0.50 ± 0.40 ΔL*'],
  [0.412, 0.004, '1', '0.4120 ± 0.0080'],
  [12, null, 'mm', '12.00 ± ? mm'],
  [[41.26, 3.1, -20.04], [0.2, 0.25, 0.3], 'Lab', '41.3, 3.1, −20.0 ± 0.4, 0.5, 0.6 L*a*b*'],
  [null, null, 'mm', 'cannot be told'],
] as const)('%j ± 2 × %j %s is copied as %s', (value, u, unit, text) => {
  expect(copyText(figureText(value, u, unit))).toBe(text);
});

test('a figure is a button that says what it copies', () => {
  const markup = renderToStaticMarkup(createElement(Figure, { value: 3.2149, u: 0.07, unit: 'ΔE00' }));
  expect(markup).toContain('aria-label="3.21 ± 0.14 ΔE00, copy"');
});

const press = (key: string, held = '') => ({
  key,
  ctrlKey: held.includes('C'),
  metaKey: held.includes('M'),
  shiftKey: held.includes('S'),
  altKey: held.includes('A'),
});
test.each([
  ['m', press('m'), true],
  ['m', press('M', 'S'), false],
  ['m', press('m', 'C'), false],
  ['Ctrl+Z', press('z', 'C'), true],
  ['Ctrl+Z', press('z', 'M'), true],
  ['Ctrl+Z', press('Z', 'CS'), false],
  ['Ctrl+Shift+Z / Ctrl+Y', press('Z', 'CS'), true],
  ['Ctrl+Shift+Z / Ctrl+Y', press('y', 'C'), true],
  ['?', press('?', 'S'), true],
  ['?', press('?'), true],
  ['+', press('+', 'S'), true],
  ['Ctrl++', press('+', 'C'), true],
  ['Ctrl++', press('+'), false],
  ['ArrowLeft', press('ArrowLeft'), true],
  ['ArrowLeft', press('ArrowLeft', 'S'), false],
  ['Shift+ArrowLeft', press('ArrowLeft', 'S'), true],
] as const)('the keys %s and the press %j: %s', (name, pressed, fits) => {
  expect(matchesKeys(name, pressed)).toBe(fits);
});

test('keys are spelt for people', () => {
  expect(spokenKeys('m')).toBe('M');
  expect(spokenKeys('Shift+ArrowLeft')).toBe('Shift+←');
  expect(spokenKeys('Ctrl+Z')).toBe('Ctrl+Z');
});

test('the surround is remembered by store or cookie; nonsense means the middle grey', () => {
  expect(surroundIn('dark', '')).toBe('dark');
  expect(surroundIn(null, 'a=b; wetline.surround=light')).toBe('light');
  expect(surroundIn('purple', '')).toBe('mid');
  expect(surroundIn(null, '')).toBe('mid');
});

const inks = [
  { name: 'Curlew Midnight', maker: 'Marram & Tide' },
  { name: 'Héron cendré', maker: null },
];
test('inks are found by words of name or maker, without accents', () => {
  expect(matchInks(inks, 'heron')).toEqual([inks[1]]);
  expect(matchInks(inks, 'tide CURLEW')).toEqual([inks[0]]);
  expect(matchInks(inks, ' ')).toEqual(inks);
  expect(matchInks(inks, 'plover')).toEqual([]);
});

test('a card counts what there is', () => {
  expect(contentsWords({ scans: 0, regions: 0, findings: 0 })).toBe('no scans yet');
  expect(contentsWords({ scans: 1, regions: 0, findings: 0 })).toBe('1 scan, no regions yet');
  expect(contentsWords({ scans: 4, regions: 1, findings: 38 })).toBe('4 scans, 1 region, 38 findings');
  expect(changedWords('2026-11-25T12:00:00Z')).toBe('changed on 25 Nov 2026');
  expect(changedWords('yesterday')).toBe('');
});

test('of many colours the palest and the darkest stay', () => {
  expect(spreadPick([1, 2, 3], 7)).toEqual([1, 2, 3]);
  const picked = spreadPick(
    Array.from({ length: 20 }, (_, i) => i),
    7,
  );
  expect([picked.length, picked[0], picked[6]]).toEqual([7, 0, 19]);
  expect(new Set(picked).size).toBe(7);
});

test('an ink that was taken off keeps its place until it is put back', () => {
  const card = (id: number) => ({ ...emptyCard, id, name: `Ink ${id}` });
  const shown = (places: ReturnType<typeof placesOf>) => places.map((p) => `${p.card.id}${p.isRemoved ? '×' : ''}`);
  const [a, b, c] = [card(1), card(2), card(3)];
  expect(shown(placesOf([a, c], [{ card: b, at: 1 }]))).toEqual(['1', '2×', '3']);
  // The shelf's own list may not have caught up yet.
  expect(shown(placesOf([a, b, c], [{ card: b, at: 1 }]))).toEqual(['1', '2×', '3']);
  expect(
    shown(
      placesOf(
        [],
        [
          { card: c, at: 2 },
          { card: a, at: 0 },
        ],
      ),
    ),
  ).toEqual(['1×', '3×']);
});

test('keys that several parts of a page register are listed once', () => {
  const files = { group: 'Files', bindings: [{ keys: 'o', does: 'bring scans' }] };
  const merged = mergedGroups([files, { group: 'Shelf', bindings: [{ keys: 'n', does: 'a new ink' }] }, files]);
  expect(merged.map(({ group, bindings }) => [group, bindings.length])).toEqual([
    ['Files', 1],
    ['Shelf', 1],
  ]);
});

test('keys that do the same share a line of the help sheet', () => {
  const does = 'move by 0.1 mm';
  const [{ bindings }] = mergedGroups([
    {
      group: 'Region',
      bindings: [
        { keys: 'ArrowLeft', does },
        { keys: 'd', does: 'duplicate' },
        { keys: 'ArrowUp', does },
      ],
    },
  ]);
  expect(bindings).toEqual([
    { keys: 'ArrowLeft / ArrowUp', does },
    { keys: 'd', does: 'duplicate' },
  ]);
});

test.each([
  ['\u221225.7', '-25.7'],
  ['-25,7', '-25.7'],
  [',', '.'],
  ['1,234.5', '1234.5'],
  ['1,234,567', '1234567'],
  ['ArrowLeft', 'ArrowLeft'],
  ['25.7', '25.7'],
  ['０．７', '0.7'],
  ['－１，２３４．５', '-1234.5'],
])('a number typed or pasted as %s is read as %s', (text, plain) => {
  expect(plainNumber(text)).toBe(plain);
});
