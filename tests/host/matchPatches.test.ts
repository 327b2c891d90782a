/** A reference's names for patches against a layout's: every spelling that can mean one patch alone, and none that could mean another. */
import { describe, expect, test } from 'vitest';
import type { TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { BUILT_IN_LAYOUTS } from '../../electron/sheet/builtIn.ts';
import { matchPatches } from '../../electron/sheet/matchPatches.ts';
import { parseReference } from '../../electron/sheet/reference.ts';

const iso = BUILT_IN_LAYOUTS.get('iso12641-1')!;
const chart = BUILT_IN_LAYOUTS.get('chart-4x6')!;
const card = BUILT_IN_LAYOUTS.get('card')!;

/** Patch i of the list has L* = i / 10. */
function reference(names: readonly string[]): TargetReference {
  return { patches: new Map(names.map((name, i) => [name, { lab: labD50(i / 10, 0, 0) }])) };
}

function layoutOf(...ids: string[]): TargetLayout {
  const patches = ids.map((id, i) => ({ id, boxMm: [4 * i, 0, 3, 3] as const }));
  return { ...chart, name: 'own', patches };
}

/** The place in the list that each of the layout's patches was given. */
function places(layout: TargetLayout, names: readonly string[]): number[] {
  const { patches } = matchPatches(layout, reference(names), 'r.txt');
  return layout.patches.map(({ id }) => Math.round(10 * patches.get(id)!.lab[0]));
}

const counted = (n: number) => Array.from({ length: n }, (_, i) => i);
const isoIds = iso.patches.map(({ id }) => id);

describe('the ISO layout under other spellings', () => {
  const respell: readonly [string, (id: string) => string][] = [
    ['A01, GS00', (id) => id.replace(/\d+/, (n) => n.padStart(2, '0'))],
    ['A 1, GS 0', (id) => id.replace(/(\d+)/, ' $1')],
    ['a_01', (id) => id.toLowerCase().replace(/(\d+)/, (n) => `_${n.padStart(2, '0')}`)],
    ['Grey 7', (id) => id.replace('GS', 'Grey ')],
    ['GRAY_07', (id) => id.replace(/GS(\d+)/, (_, n: string) => `GRAY_${n.padStart(2, '0')}`)],
    ['Dmin and Dmax', (id) => (id === 'GS0' ? 'Dmin' : id === 'GS23' ? 'D-max' : id)],
    ['Dmin, 1 … 22, Dmax', (id) => (id === 'GS0' ? 'Dmin' : id === 'GS23' ? 'Dmax' : id.replace('GS', ''))],
  ];
  test.each(respell)('%s', (_, spelt) => expect(places(iso, isoIds.map(spelt))).toEqual(counted(288)));

  test('the same ids are taken as they are, object and all', () => {
    const known = reference([...isoIds, 'further']);
    expect(matchPatches(iso, known, 'r.txt')).toBe(known);
  });
  test('what was done is noted, and further patches are left out', () => {
    const { patches, notes } = matchPatches(iso, reference([...isoIds.map((id) => id.toLowerCase()), 'Z99']), 'r.txt');
    expect(patches.size).toBe(288);
    expect(notes).toEqual(['its patches are named by the layout\'s ids: "a1" is A1']);
  });
  test('G1 is a colour, not a grey', () => {
    const names = isoIds.map((id) => id.replace(/^GS/, 'Grey'));
    expect(places(iso, names)[isoIds.indexOf('G1')]).toBe(names.indexOf('G1'));
  });
});

describe('the 4 × 6 chart by rows and columns', () => {
  const rows = counted(24).map((i) => `${'ABCD'[Math.floor(i / 6)]}${(i % 6) + 1}`);
  const columns = counted(24).map((i) => `${'ABCDEF'[i % 6]}${Math.floor(i / 6) + 1}`);
  test.each([
    ['numbers', counted(24).map((i) => String(i + 1))],
    ['numbers with zeros', counted(24).map((i) => String(i + 1).padStart(2, '0'))],
    ['letters for rows', rows],
    ['letters for columns', columns],
    ['both, beside the numbers', [...counted(24).map((i) => `${i + 1}`), ...new Set([...rows, ...columns])]],
  ])('%s', (_, names) => expect(places(chart, names)).toEqual(counted(24)));
  test('letters that could be either are refused', () => {
    expect(() => places(chart, [...new Set([...rows, ...columns])])).toThrow('lacks 24 of the 24 patches');
  });
  test('a letter short is no match', () => {
    expect(() => places(chart, rows.slice(1))).toThrow('lacks 24 of the 24');
  });
  test('by SAMPLE_NAME behind running numbers of another order', () => {
    const shuffled = rows.map((_, i) => rows[(7 * i) % 24]);
    const text = ['BEGIN_DATA_FORMAT', 'SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B', 'END_DATA_FORMAT', 'BEGIN_DATA'];
    const lines = shuffled.map((name, i) => `P${i + 101} "${name}" ${rows.indexOf(name)} 0 0`);
    const { patches } = matchPatches(chart, parseReference([...text, ...lines, 'END_DATA'].join('\n'), 'r.txt'), 'r');
    expect(chart.patches.map(({ id }) => patches.get(id)!.lab[0])).toEqual(counted(24));
  });
});

describe('never a guess', () => {
  test('two names for one patch', () => {
    expect(() => places(layoutOf('A1', 'B1'), ['A01', 'a 1', 'B1'])).toThrow(
      'r.txt: "A01" and "a 1" could each be the patch A1 of layout "own"; expected one.',
    );
    expect(places(layoutOf('A1', 'B1'), ['A01', 'A1', 'B1'])).toEqual([1, 2]);
  });
  test('a layout whose own ids differ in spelling alone', () => {
    expect(places(layoutOf('A1', 'A01'), ['A01', 'A1'])).toEqual([1, 0]);
    expect(() => places(layoutOf('A1', 'A01'), ['a1', 'A1'])).toThrow('lacks 1 of the 2 patches of layout "own" (A01)');
  });
  test('plain numbers are no greys unless Dmin and Dmax stand around them', () => {
    const names = isoIds.map((id) => id.replace('GS', ''));
    expect(() => places(iso, names)).toThrow('lacks 24 of the 288');
  });
  test('numbers are numbers: 1.05 is not 1.5, 10 is not 1', () => {
    expect(() => places(layoutOf('1.5'), ['1.05'])).toThrow('lacks 1');
    expect(() => places(layoutOf('1'), ['10', '01x'])).toThrow('lacks 1');
  });
});

describe('a reference for another target', () => {
  test.each([
    ['the ISO layout', chart, isoIds, 'Its ids are those of layout "iso12641-1" (ISO 12641-1 reflection layout)'],
    ['the 4 × 6 chart', iso, counted(24).map((i) => `${i + 1}`), 'Its ids are those of layout "chart-4x6"'],
    ['the card', iso, card.patches.map(({ id }) => id), 'Its ids are those of layout "card"'],
    ['nothing known', iso, ['x', 'y'], "It names x, y, …: is it this target's reference?"],
  ])('%s is named', (_, layout, names, words) => {
    expect(() => places(layout, names)).toThrow(words);
  });
});
