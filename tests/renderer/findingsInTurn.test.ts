/** In which parts the tables of a page are drawn: the hook only waits for a frame between two of them. */
import { expect, test } from 'vitest';
import { type DrawnSoFar, nextDrawn, type SectionInTurn } from '../../renderer/findings/tables/nextDrawn.ts';

const section = (...groups: readonly number[]): SectionInTurn => ({
  tables: groups.map((count) => ({ groups: Array.from({ length: count }, () => ({ heading: null, rows: [] })) })),
});

/** All steps from the first section on, until everything is drawn. */
function steps(sections: readonly SectionInTurn[], isFull: (drawn: DrawnSoFar) => boolean): readonly DrawnSoFar[] {
  const all: DrawnSoFar[] = [{ drawn: 1, groups: null }];
  for (let last = all[0]; last.drawn < sections.length || last.groups !== null; last = all[all.length - 1]) {
    const before = last;
    all.push(nextDrawn(sections, before, () => isFull(before)));
    expect(all.length).toBeLessThan(50);
  }
  return all;
}

const texts = (drawn: readonly DrawnSoFar[]) => drawn.map((one) => `${one.drawn}:${one.groups ?? 'all'}`);

test('in sight, sections come whole, one after the other', () => {
  expect(texts(steps([section(1), section(4), section(2, 3)], () => false))).toEqual(['1:all', '2:all', '3:all']);
});

test('below what is seen, a long table comes a group of rows at a time, as many as the longest of its section has', () => {
  const all = steps([section(1), section(1), section(2, 4), section(2)], () => true);
  expect(texts(all)).toEqual(['1:all', '2:all', '3:1', '3:2', '3:3', '3:all', '4:1', '4:all']);
});

test('once the page is full the rest comes in groups, and a section without tables in one step', () => {
  const all = steps([section(2), section(2), section(), section(2)], ({ drawn }) => drawn >= 2);
  expect(texts(all)).toEqual(['1:all', '2:all', '3:all', '4:1', '4:all']);
});

test('whether the page is full is asked once a section that could come in groups begins, for the answer lays out the page', () => {
  const sections = [section(1), section(1), section(3)];
  let asked = 0;
  steps(sections, () => {
    asked += 1;
    return true;
  });
  expect(asked).toBe(1);
});
