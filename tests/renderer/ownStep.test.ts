/** Edits that two windows, or a window and its own undo, make of one thing. */
import { expect, test } from 'vitest';
import type { Edit, SheetRegion, Work, WorkScan } from '../../electron/backend/api.ts';
import { drawnFrom } from '../../renderer/api/drawnFrom.ts';
import { ontoOwnStep } from '../../renderer/api/ontoOwnStep.ts';
import { card, work as emptyWork } from './emptyWork.ts';

const region: SheetRegion = { id: 'ef', scan: 'white', kind: 'strokes', boxMm: [1, 2, 30, 10], nib: 'EF' };
const scan: WorkScan = {
  id: 'white',
  hash: 'a'.repeat(64),
  name: 'white.tif',
  paper: 'laid',
  side: 'front',
  of: null,
  dpi: 600,
  dpiFrom: 'file',
  widthPx: 10,
  heightPx: 10,
  bits: 8,
  icc: null,
  notes: [],
  problem: null,
  target: null,
  colours: { key: 'k', by: 'profile', words: '' },
  tileSize: 256,
  levels: 1,
};
const target = { scan: 'white', layout: 'l', reference: 'r' };
const work = (now: SheetRegion): Work => ({
  ...emptyWork(3),
  ink: { ...card, name: 'Curlew', claim: 'blue' },
  scans: [scan],
  target,
  regions: [{ region: now, problem: null, measured: 'never' }],
});

test('a nudge that was made while undo had no answer goes on from where undo leads, and leaves all else as undo left it', () => {
  const left: SheetRegion = { ...region, boxMm: [0.5, 2, 28, 10], nib: 'B', paper: 'laid' };
  const nudged: Edit = { edit: 'changeRegion', id: 'ef', from: region, region: { ...region, boxMm: [1.1, 2, 30, 10] } };
  expect(ontoOwnStep(nudged, work(left))).toEqual({
    ...nudged,
    from: left,
    region: { ...left, boxMm: [0.6, 2, 28, 10] },
  });
  const named: Edit = { edit: 'changeRegion', id: 'ef', from: region, region: { ...region, nib: 'XF' } };
  expect(ontoOwnStep(named, work(left))).toMatchObject({ region: { ...left, nib: 'XF' } });
  // Undo took the region itself away.
  expect(ontoOwnStep(nudged, work({ ...left, id: 'other' }))).toBeNull();
  const remove: Edit = { edit: 'removeRegions', ids: ['ef'] };
  expect(ontoOwnStep(remove, work(left))).toBe(remove);
});

test('edits go with what their fields were', () => {
  const seen = work(region);
  const paper: Edit = { edit: 'changeScan', id: 'white', change: { paper: 'wove' } };
  expect(drawnFrom(paper, seen)).toEqual({
    ...paper,
    // The file's own resolution is nothing that a person said.
    from: { id: 'white', paper: 'laid', side: 'front', of: null, dpi: null },
  });
  expect(drawnFrom({ edit: 'setTarget', serves: 'all', target: null }, seen)).toMatchObject({ from: target });
  expect(drawnFrom({ edit: 'setTarget', serves: 'white', target }, seen)).toMatchObject({ from: null });
  const names: Edit = { edit: 'changeInk', name: 'Dusk', maker: null };
  expect(drawnFrom(names, seen)).toMatchObject({ from: { name: 'Curlew', maker: null, claim: 'blue' } });
  const opened: Edit = { ...names, from: { name: 'Curlew', maker: null, claim: null } };
  expect(drawnFrom(opened, seen)).toBe(opened);
  expect(drawnFrom(names, null)).toBe(names);
});
