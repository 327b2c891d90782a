import { expect, test } from 'vitest';
import type { SheetRegion } from '../../electron/backend/api.ts';
import { chosenWords, madeWords, placeWords, removedWords, toolWords } from '../../renderer/scans/benchWords.ts';

const ef: SheetRegion = { id: 'ef', scan: 'white', kind: 'strokes', boxMm: [51.01, 70.87, 49.99, 9.96] };
const nowhere: SheetRegion = { id: 'bare', scan: 'white', kind: 'paper' };

test('what keys did to regions is said with where these lie by now', () => {
  const place = '“ef”: 51.0 mm from the left, 70.9 mm from the top, 50.0 × 10.0 mm';
  expect(placeWords([ef])).toBe(`${place}.`);
  expect(placeWords([ef, { ...ef, id: 'm' }])).toBe(`${place}; 1 region more moved along.`);
  expect(placeWords([nowhere])).toBeNull();
  expect(madeWords(ef)).toBe(`Drawn: ${place}. Arrows move it, Enter goes to its fields.`);
  expect(removedWords([ef])).toBe('Removed: “ef”. Undo brings it back.');
  expect(removedWords([ef, nowhere])).toBe('Removed: 2 regions. Undo brings them back.');
  expect([chosenWords(0), chosenWords(1)]).toEqual(['No region lies on this scan.', 'Chosen: 1 region.']);
});

test('a tool is named with what to draw round and the key that needs no mouse', () => {
  expect(toolWords('swab')).toBe('Swab: drag a box round an area covered with ink, or press N.');
});
