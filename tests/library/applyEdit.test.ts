import { describe, expect, test } from 'vitest';
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { applyEdit } from '../../electron/library/applyEdit.ts';
import type { DocumentFacts } from '../../electron/library/applyEdit.ts';
import type { DocumentTarget, Edit, InkDocument } from '../../electron/library/document.ts';
import { parseLayout } from '../../electron/sheet/layout.ts';
import { parseReference } from '../../electron/sheet/reference.ts';
import { LAYOUT, REFERENCE } from '../host/smallSheet.ts';

const hash = (letter: string) => letter.repeat(64);
const layout: TargetLayout = parseLayout(JSON.stringify(LAYOUT), 'layout.json');
/** Scans of 40 × 30 mm at 254 dpi; 'f' states no resolution. */
const facts: DocumentFacts = {
  scan: (h) => (/^[abcf]/.test(h) ? { widthPx: 400, heightPx: 300, dpi: h === hash('f') ? null : 254 } : null),
  layout: (h) => (h === hash('d') ? layout : null),
  measured: () => [],
  reference: (h) =>
    h === hash('e') ? { name: 'reference.txt', reference: parseReference(REFERENCE, 'reference.txt') } : null,
};
const target: DocumentTarget = { scan: 'card', layout: hash('d'), reference: hash('e') };
const POINTS = [
  [1, 1],
  [21, 1],
  [21, 11],
  [1, 11],
] as const;

const document: InkDocument = {
  ink: { name: 'Curlew Midnight', maker: 'Marram & Tide' },
  target,
  scans: [
    { id: 'white', hash: hash('a'), name: 'white.png', paper: 'white' },
    { id: 'back', hash: hash('b'), name: 'back.png', side: 'back', of: 'white' },
    { id: 'card', hash: hash('c'), name: 'card.png', target },
    { id: 'bare', hash: hash('f'), name: 'bare.png' },
  ],
  regions: [
    { id: 'ef', scan: 'white', kind: 'strokes', boxMm: [1, 1, 10, 10], nib: 'EF' },
    { id: 'before', scan: 'white', kind: 'hatch', boxMm: [1, 12, 10, 10], state: 'before' },
    { id: 'after', scan: 'card', kind: 'hatch', boxMm: [1, 12, 10, 10], state: 'after', of: 'before' },
    { id: 'ghost', scan: 'back', kind: 'reverse', boxMm: [1, 1, 10, 10], of: 'ef' },
    { id: 'run', scan: 'back', kind: 'strip', boxMm: [15, 0, 10, 30], originMm: 25 },
  ],
};
const region = (id: string) => {
  const found = document.regions.find((r) => r.id === id);
  if (!found) throw new Error(id);
  return found;
};
const after = (edit: Edit): InkDocument => applyEdit(document, edit, facts)?.document ?? document;
const what = (edit: Edit) => applyEdit(document, edit, facts)?.what ?? null;
const changed = (id: string, change: object): Edit => ({
  edit: 'changeRegion',
  id,
  region: { ...region(id), ...change },
});

describe('what an edit did, in words', () => {
  test.each<[string, Edit]>([
    ['add region “m”', { edit: 'addRegion', region: { ...region('ef'), id: 'm' } }],
    ['move region “ef”', changed('ef', { boxMm: [2, 1, 10, 10] })],
    ['resize region “ef”', changed('ef', { boxMm: [1, 1, 12, 10] })],
    ['rename region “ef” to “fine”', changed('ef', { id: 'fine' })],
    ['type “ef” as swab', changed('ef', { kind: 'swab' })],
    ['set the nib of “ef”', changed('ef', { nib: 'M', nibWidthMm: 0.6 })],
    ['set the paper of “ef”', changed('ef', { paper: 'cream' })],
    ['set the origin of “run”', changed('run', { originMm: 24 })],
    ['set the front of “run”', changed('run', { frontMm: 3 })],
    ['move region “ef” to scan “card”', changed('ef', { scan: 'card', boxMm: [2, 2, 10, 10] })],
    ['change region “ef”', changed('ef', { nib: 'M', boxMm: [2, 2, 10, 10] })],
    ['remove region “ef”', { edit: 'removeRegions', ids: ['ef'] }],
    ['remove 3 regions', { edit: 'removeRegions', ids: ['ef', 'run', 'ghost', 'ef'] }],
    ['rename scan “white” to “page”', { edit: 'changeScan', id: 'white', change: { id: 'page' } }],
    ['set the paper of scan “white”', { edit: 'changeScan', id: 'white', change: { paper: 'cream' } }],
    ['set the resolution of scan “bare”', { edit: 'changeScan', id: 'bare', change: { dpi: 600 } }],
    ['set the side of scan “back”', { edit: 'changeScan', id: 'back', change: { side: 'front' } }],
    ['change scan “white”', { edit: 'changeScan', id: 'white', change: { dpi: 600, paper: null } }],
    ['remove scan “white” and its 2 regions', { edit: 'removeScan', id: 'white' }],
    ['remove scan “card” and its region', { edit: 'removeScan', id: 'card' }],
    ['remove scan “bare”', { edit: 'removeScan', id: 'bare' }],
    ['take the target away', { edit: 'setTarget', serves: 'all', target: null }],
    ['set the target', { edit: 'setTarget', serves: 'all', target: { ...target, scan: 'white' } }],
    ['set the target of “white”', { edit: 'setTarget', serves: 'white', target }],
    ['move the points of the target', { edit: 'setTarget', serves: 'all', target: { ...target, pointsMm: POINTS } }],
    ['rename the ink to “Sanderling”', { edit: 'changeInk', name: 'Sanderling', maker: null }],
    ['set the maker', { edit: 'changeInk', name: 'Curlew Midnight', maker: null }],
    [
      'set what the maker says of the colour',
      { edit: 'changeInk', name: 'Curlew Midnight', maker: 'Marram & Tide', claim: 'midnight blue' },
    ],
    ['add scan “new”', { edit: 'addScans', scans: [{ id: 'new', hash: hash('a'), name: 'new.png' }] }],
    ['add 2 scans', { edit: 'addScans', scans: ['n1', 'n2'].map((id) => ({ id, hash: hash('b'), name: 'new.png' })) }],
  ])('%s', (words, edit) => {
    expect(what(edit)).toBe(words);
  });
});

test('what changes nothing is no step', () => {
  expect(applyEdit(document, changed('ef', {}), facts)).toBeNull();
  expect(applyEdit(document, changed('ef', { paper: undefined }), facts)).toBeNull();
  expect(applyEdit(document, { edit: 'changeScan', id: 'white', change: { paper: 'white' } }, facts)).toBeNull();
  expect(applyEdit(document, { edit: 'setTarget', serves: 'all', target }, facts)).toBeNull();
});

test('the document that is edited stays as it was', () => {
  const copy = structuredClone(document);
  after({ edit: 'removeScan', id: 'white' });
  after({ edit: 'changeScan', id: 'card', change: { id: 'target' } });
  expect(document).toEqual(copy);
});

test('a renamed region keeps its links', () => {
  expect(after(changed('ef', { id: 'fine' })).regions.find((r) => r.id === 'ghost')).toMatchObject({ of: 'fine' });
});

test('a renamed scan takes along regions, backs and targets', () => {
  const { target: own, scans, regions } = after({ edit: 'changeScan', id: 'card', change: { id: 'target' } });
  expect(own?.scan).toBe('target');
  expect(scans.find((s) => s.id === 'target')?.target?.scan).toBe('target');
  expect(regions.find((r) => r.id === 'after')?.scan).toBe('target');
  const renamed = after({ edit: 'changeScan', id: 'white', change: { id: 'page' } });
  expect(renamed.scans.find((s) => s.id === 'back')?.of).toBe('page');
});

test('a removed scan takes along its regions and its target; links to them end, all else stays', () => {
  const noWhite = after({ edit: 'removeScan', id: 'white' });
  expect(noWhite.regions.map((r) => r.id)).toEqual(['after', 'ghost', 'run']);
  expect(noWhite.regions.filter((r) => 'of' in r)).toEqual([]);
  expect(noWhite.scans.find((s) => s.id === 'back')).toEqual({
    id: 'back',
    hash: hash('b'),
    name: 'back.png',
    side: 'back',
  });
  expect(noWhite.target).toEqual(target);
  const noCard = after({ edit: 'removeScan', id: 'card' });
  expect(noCard).not.toHaveProperty('target');
  expect(noCard.regions.find((r) => r.id === 'before')).toEqual(region('before'));
});

test('a removed region’s reverse stays, without its link', () => {
  const { regions } = after({ edit: 'removeRegions', ids: ['ef'] });
  expect(regions.find((r) => r.id === 'ghost')).toEqual({
    id: 'ghost',
    scan: 'back',
    kind: 'reverse',
    boxMm: [1, 1, 10, 10],
  });
});

test('a scan that turns out to be a front has no front of its own', () => {
  const { scans } = after({ edit: 'changeScan', id: 'back', change: { side: null } });
  expect(scans.find((s) => s.id === 'back')).toEqual({ id: 'back', hash: hash('b'), name: 'back.png' });
});

describe('a box may stick out by half a millimetre, no more', () => {
  test.each([[[-0.5, 0, 10, 10]], [[30.5, 20.5, 10, 10]]])('%j is taken', (boxMm) => {
    expect(what(changed('ef', { boxMm }))).toBe('move region “ef”');
  });
  test.each([[[-0.6, 0, 10, 10]], [[30.6, 0, 10, 10]], [[0, 20.6, 10, 10]], [[1, 1, 50, 10]]])(
    '%j is refused',
    (boxMm) => {
      expect(() => after(changed('ef', { boxMm }))).toThrow(
        expect.objectContaining({
          code: 'region-off-scan',
          message: expect.stringMatching(/^region off the scan: “ef”: .* is 40 × 30 mm/),
        }),
      );
    },
  );
  test('a region that lies off already can still be named and typed', () => {
    const off: InkDocument = { ...document, regions: [{ ...region('ef'), boxMm: [0, 0, 100, 10] }] };
    const edit: Edit = { edit: 'changeRegion', id: 'ef', region: { ...off.regions[0], id: 'fine' } };
    expect(applyEdit(off, edit, facts)?.what).toBe('rename region “ef” to “fine”');
  });
});

describe('refused in one line', () => {
  const swab = { ...region('ef'), id: 'swab' };
  test.each<[string, string, RegExp, Edit]>([
    ['a name that is taken', 'id-taken', /region “ef” is there already/, { edit: 'addRegion', region: region('ef') }],
    ['a rename onto another', 'id-taken', /region “run” is there already/, changed('ef', { id: 'run' })],
    [
      'an unknown region',
      'no-such-region',
      /no region “q”; expected one of ef, before/,
      { edit: 'removeRegions', ids: ['q'] },
    ],
    [
      'an unknown scan',
      'no-such-scan',
      /no scan “q”; expected one of white, back/,
      { edit: 'addRegion', region: { ...swab, scan: 'q' } },
    ],
    ['a scan called all', 'id-taken', /means all scans/, { edit: 'changeScan', id: 'white', change: { id: 'all' } }],
    [
      'a taken scan name',
      'id-taken',
      /scan “card” is there already/,
      { edit: 'changeScan', id: 'white', change: { id: 'card' } },
    ],
    ['a link to nothing', 'no-such-region', /no region "q"/, changed('ghost', { of: 'q' })],
    ['a link to itself', 'wrong-link', /this region itself/, changed('after', { of: 'after' })],
    ['a link of the wrong kind', 'wrong-link', /a strip; expected/, changed('ghost', { of: 'run' })],
    [
      'a kind that a link does not allow',
      'wrong-link',
      /expected another region/,
      changed('before', { kind: 'swab', state: undefined }),
    ],
    [
      'a back of a back',
      'wrong-link',
      /only a scan with "side": "back"/,
      { edit: 'changeScan', id: 'white', change: { of: 'card' } },
    ],
    [
      'no resolution',
      'dpi-unknown',
      /bare\.png carries no resolution/,
      { edit: 'addRegion', region: { ...swab, scan: 'bare' } },
    ],
    ['an unknown kind', 'edit-invalid', /kind/, changed('ef', { kind: 'blot' })],
    [
      'an unknown key',
      'edit-invalid',
      /nip: unknown key; expected one of .*did you mean "nib"/,
      changed('ef', { nip: 'EF' }),
    ],
    ['a box without size', 'edit-invalid', /boxMm.*expected a number above 0/, changed('ef', { boxMm: [0, 0, 0, 5] })],
    ['an origin off its box', 'region-off-scan', /originMm 40 lies beyond its box/, changed('run', { originMm: 40 })],
    [
      'a file that is not here',
      'no-such-file',
      /x\.png is not in the library/,
      { edit: 'addScans', scans: [{ id: 'x', hash: '0'.repeat(64), name: 'x.png' }] },
    ],
    [
      'a layout that is none',
      'no-such-file',
      /its layout is not in the library/,
      { edit: 'setTarget', serves: 'all', target: { ...target, layout: hash('e') } },
    ],
    [
      'a reference that is none',
      'no-such-file',
      /its reference is not in the library/,
      { edit: 'setTarget', serves: 'all', target: { ...target, reference: hash('d') } },
    ],
    [
      'points out of order',
      'points-order',
      /clockwise/,
      {
        edit: 'setTarget',
        serves: 'all',
        target: { ...target, pointsMm: [POINTS[1], POINTS[0], POINTS[2], POINTS[3]] },
      },
    ],
    [
      'points off the scan',
      'points-outside',
      /lies outside its scan of 40\.0 × 30\.0 mm/,
      { edit: 'setTarget', serves: 'all', target: { ...target, pointsMm: [POINTS[0], [50, 1], [50, 11], POINTS[3]] } },
    ],
    [
      'a nib’s name that fits nowhere',
      'edit-invalid',
      /nib: found "E+…; expected text of at most 80 letters/,
      changed('ef', { nib: 'E'.repeat(81) }),
    ],
    [
      'a paper’s name that fits nowhere',
      'edit-invalid',
      /paper: found "w+…; expected text of at most 80 letters/,
      { edit: 'changeScan', id: 'white', change: { paper: 'w'.repeat(81) } },
    ],
    [
      'an ink’s name that fits nowhere',
      'edit-invalid',
      /name: found "i+…; expected text of at most 80 letters/,
      { edit: 'changeInk', name: 'i'.repeat(81), maker: null },
    ],
    ['an ink without a name', 'edit-invalid', /name/, { edit: 'changeInk', name: '  ', maker: null }],
  ])('%s', (_, code, line, edit) => {
    expect(() => after(edit)).toThrow(expect.objectContaining({ code, message: expect.stringMatching(line) }));
  });

  test('a reference that lacks the layout’s patches', () => {
    const other = parseReference(REFERENCE.replaceAll('A4', 'B4'), 'other.txt');
    const lacking = { ...facts, reference: () => ({ name: 'other.txt', reference: other }) };
    const edit: Edit = { edit: 'setTarget', serves: 'white', target };
    expect(() => applyEdit(document, edit, lacking)).toThrow(/^other\.txt: lacks 1 of the 4 patches/);
  });
});
