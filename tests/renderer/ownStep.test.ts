/** Edits that two windows, or a window and its own undo, make of one thing. */
import { expect, test } from 'vitest';
import type { Edit, SheetRegion, Work, WorkScan } from '../../electron/backend/api.ts';
import { drawnFrom } from '../../renderer/api/drawnFrom.ts';
import { afterOwn } from '../../renderer/api/ownView.ts';
import { ontoOwnStep } from '../../renderer/api/ontoOwnStep.ts';
import type { SaidBand, StripRegion } from '../../renderer/strips/bandEdits.ts';
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

test('what is said of a strip meanwhile goes with what undo left: ends go on from there, other words of bands stay as they are', () => {
  const strip: StripRegion = {
    id: 'ef',
    scan: 'white',
    kind: 'strip',
    boxMm: [1, 2, 20, 90],
    originMm: 80,
    frontMm: 10,
  };
  const [held, none]: SaidBand[] = [{ rF: 0.2 }, { rF: 0.5, removed: true }];
  const from: StripRegion = { ...strip, originMm: 79, bands: [held] };
  const made: StripRegion = { ...from, originMm: 78.9, bands: [held, none] };
  expect(ontoOwnStep({ edit: 'changeRegion', id: 'ef', from, region: made }, work(strip))).toMatchObject({
    region: { ...strip, originMm: 79.9, bands: [none] },
  });
  // Have it found: there is nothing to go on from.
  const { originMm: _, ...found } = from;
  expect(ontoOwnStep({ edit: 'changeRegion', id: 'ef', from, region: found }, work(strip))).toMatchObject({
    region: { id: 'ef', frontMm: 10 },
  });
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

test('a removal goes with what was seen: all that this window did to it, and nothing of another', () => {
  const made: SheetRegion = { ...region, id: 'fine', nib: 'XF' };
  const back: SheetRegion = { id: 'back', scan: 'white', kind: 'reverse', of: 'ef' };
  const start = { ...work(region), regions: [region, back].map((one) => ({ ...work(one).regions[0] })) };
  const own: readonly Edit[] = [
    { edit: 'changeRegion', id: 'ef', from: region, region: made },
    { edit: 'changeScan', id: 'white', change: { id: 'page', paper: 'wove' } },
    { edit: 'addRegion', region: { id: 'swab', scan: 'page', kind: 'swab' } },
    { edit: 'setTarget', serves: 'page', target: { ...target, scan: 'page' } },
  ];
  const seen = afterOwn(
    start,
    own.map((edit) => ({ edit, isRefused: false })),
  );
  expect(drawnFrom({ edit: 'removeRegions', ids: ['fine', 'gone'] }, seen)).toMatchObject({
    from: [{ ...made, scan: 'page' }, null],
  });
  expect(drawnFrom({ edit: 'removeScan', id: 'page' }, seen)).toMatchObject({
    from: {
      id: 'page',
      paper: 'wove',
      side: 'front',
      of: null,
      dpi: null,
      target: { ...target, scan: 'page' },
      regions: [
        { ...made, scan: 'page' },
        { ...back, scan: 'page', of: 'fine' },
        { id: 'swab', scan: 'page', kind: 'swab' },
      ],
    },
  });
  const refused = afterOwn(start, [{ edit: { edit: 'removeRegions', ids: ['ef'] }, isRefused: true }]);
  expect(refused.regions).toHaveLength(2);
  const without = afterOwn(start, [{ edit: { edit: 'removeRegions', ids: ['ef'] }, isRefused: false }]);
  expect(without.regions.map((one) => one.region)).toEqual([{ id: 'back', scan: 'white', kind: 'reverse' }]);
});
