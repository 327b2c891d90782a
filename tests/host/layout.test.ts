import { expect, test } from 'vitest';
import { parseLayout } from '../../electron/sheet/layout.ts';
import { LAYOUT } from './smallSheet.ts';

const parse = (change: object) => parseLayout(JSON.stringify({ ...LAYOUT, ...change }), 'l.json');

test('a layout with fiducials', () => {
  const layout = parse({ fiducial: { shape: 'disc', radiusMm: 2.5, eyeMm: 1 } });
  expect(layout.fiducial).toEqual({ shape: 'disc', radiusMm: 2.5, eyeMm: 1 });
  expect(layout.patches[1]).toEqual({ id: 'A2', boxMm: [5, 2, 3, 3], grey: true });
  expect(parse({}).fiducial).toBeUndefined();
  expect(parse({ slantedEdge: { boxMm: [1, 2, 3, 4] } }).slantedEdge).toEqual({ boxMm: [1, 2, 3, 4] });
});

test.each<[string, object, string]>([
  [
    'a newer format',
    { format: 'wetline-target/9' },
    'format: found "wetline-target/9"; expected "wetline-target/1". A newer Wetline wrote it: open it with that one.',
  ],
  ['another format', { format: 'wetline-targe/1' }, 'expected "wetline-target/1"; did you mean "wetline-target/1"?'],
  [
    'an unknown key',
    { patchs: [] },
    'patchs: unknown key; expected one of format, name, pointsMm, fiducial, slantedEdge, patches; did you mean "patches"?',
  ],
  [
    'an unknown key in a patch',
    { patches: [{ id: 'A', boxMm: [0, 0, 1, 1], gray: true }] },
    'patches[0].gray (patch "A"): unknown key; expected one of id, boxMm, grey; did you mean "grey"?',
  ],
  [
    'points beyond any bed',
    {
      pointsMm: [
        [0, 0],
        [2e9, 0],
        [2e9, 1e9],
        [0, 1e9],
      ],
    },
    'pointsMm[1][0]: found 2000000000; expected a number of at most 10000',
  ],
  [
    'more patches than any target has',
    { patches: Array.from({ length: 5001 }, (_, i) => ({ id: `P${i}`, boxMm: [i, 0, 1, 1] })) },
    'expected only 5000 of them',
  ],
  ['no patches', { patches: [] }, 'patches: found []; expected at least 1'],
  ['three points', { pointsMm: LAYOUT.pointsMm.slice(1) }, 'pointsMm'],
  [
    'points anticlockwise',
    { pointsMm: LAYOUT.pointsMm.toReversed() },
    'top left, top right, bottom right, bottom left',
  ],
  [
    'points crossed',
    {
      pointsMm: [
        [0, 0],
        [20, 10],
        [20, 0],
        [0, 10],
      ],
    },
    'top left, top right, bottom right, bottom left',
  ],
  [
    'points on a line',
    {
      pointsMm: [
        [0, 0],
        [1, 0],
        [2, 0],
        [3, 0],
      ],
    },
    'top left, top right, bottom right, bottom left',
  ],
  ['a patch twice', { patches: [LAYOUT.patches[0], LAYOUT.patches[0]] }, 'two patches are called "A1"'],
  ['an eye as large as its disc', { fiducial: { shape: 'disc', radiusMm: 2, eyeMm: 2 } }, 'the eye lies inside'],
])('%s is refused', (_, change, words) => {
  expect(() => parse(change)).toThrow(words);
});
