/** Whatever is done to an ink's work, undone it is the work that it was, and done again the work that it became. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { applyEdit } from '../../electron/library/applyEdit.ts';
import type { DocumentFacts } from '../../electron/library/applyEdit.ts';
import type { Edit, InkDocument } from '../../electron/library/document.ts';
import { deltaBetween, redone, undone } from '../../electron/library/documentDelta.ts';
import { LibraryError } from '../../electron/library/libraryError.ts';
import { parseLayout } from '../../electron/sheet/layout.ts';
import { parseReference } from '../../electron/sheet/reference.ts';
import { testFolder } from '../host/folder.ts';
import { LAYOUT, REFERENCE } from '../host/smallSheet.ts';
import { smallLibrary } from './smallLibrary.ts';

const folder = testFolder();

// Few names, so that edits meet: they rename, remove and link the same things.
const regionId = fc.constantFrom('bare', 'ef', 'run', 'a', 'b');
const scanId = fc.constantFrom('white', 'strip', 'target', 'c');
const boxMm = fc.tuple(fc.nat(25), fc.nat(15), fc.integer({ min: 1, max: 12 }), fc.integer({ min: 1, max: 12 }));
const paper = fc.constantFrom('cream', 'white');

const region = fc.oneof(
  fc.record({ id: regionId, scan: scanId, boxMm, kind: fc.constant('paper' as const) }),
  fc.record(
    {
      id: regionId,
      scan: scanId,
      boxMm,
      kind: fc.constantFrom('strokes' as const, 'swab'),
      nib: fc.constantFrom('EF', 'B'),
      paper,
    },
    { requiredKeys: ['id', 'scan', 'boxMm', 'kind'] },
  ),
  fc.record(
    { id: regionId, scan: scanId, boxMm, kind: fc.constant('reverse' as const), of: regionId },
    { requiredKeys: ['id', 'scan', 'boxMm', 'kind'] },
  ),
);

interface Hashes {
  readonly scan: string;
  readonly layout: string;
  readonly reference: string;
}
const edits = ({ scan, layout, reference }: Hashes): fc.Arbitrary<Edit> => {
  const target = fc.option(fc.record({ scan: scanId, layout: fc.constant(layout), reference: fc.constant(reference) }));
  return fc.oneof(
    { arbitrary: fc.record({ edit: fc.constant('addRegion' as const), region }), weight: 3 },
    { arbitrary: fc.record({ edit: fc.constant('changeRegion' as const), id: regionId, region }), weight: 4 },
    fc.record({ edit: fc.constant('removeRegions' as const), ids: fc.uniqueArray(regionId, { minLength: 1 }) }),
    fc.record({
      edit: fc.constant('changeScan' as const),
      id: scanId,
      change: fc.record(
        {
          id: scanId,
          paper: fc.option(paper),
          side: fc.constantFrom('front' as const, 'back' as const, null),
          of: fc.option(scanId),
          dpi: fc.constantFrom(200, 254, null),
        },
        { requiredKeys: [] },
      ),
    }),
    fc.record({ edit: fc.constant('removeScan' as const), id: scanId }),
    fc.record({ edit: fc.constant('setTarget' as const), serves: fc.oneof(scanId, fc.constant('all')), target }),
    fc.record({ edit: fc.constant('changeInk' as const), name: paper, maker: fc.option(paper) }),
    fc.record({
      edit: fc.constant('addScans' as const),
      scans: fc.array(fc.record({ id: scanId, hash: fc.constant(scan), name: fc.constant('white.png') }), {
        minLength: 1,
        maxLength: 2,
      }),
    }),
  );
};

/** The document after the edit, or null when it was refused. */
function tried(work: () => InkDocument | null): InkDocument | null {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof LibraryError)) throw error;
    return null;
  }
}

test('a step’s delta leads exactly back and forth', () => {
  const hashes: Hashes = { scan: 'a'.repeat(64), layout: 'b'.repeat(64), reference: 'c'.repeat(64) };
  const layout = parseLayout(JSON.stringify(LAYOUT), 'layout.json');
  const reference = { name: 'reference.txt', reference: parseReference(REFERENCE, 'reference.txt') };
  const facts: DocumentFacts = {
    scan: () => ({ widthPx: 400, heightPx: 300, dpi: 254 }),
    layout: () => layout,
    reference: () => reference,
    measured: () => ['gone'],
  };
  const start: InkDocument = {
    ink: { name: 'Curlew Midnight' },
    scans: [{ id: 'white', hash: hashes.scan, name: 'white.png' }],
    regions: [{ id: 'ef', scan: 'white', kind: 'strokes', boxMm: [0, 0, 10, 10] }],
  };
  let steps = 0;
  fc.assert(
    fc.property(fc.array(edits(hashes), { minLength: 10, maxLength: 30, size: 'max' }), (list) => {
      let document = start;
      for (const edit of list) {
        const before = document;
        const after = tried(() => applyEdit(before, edit, facts)?.document ?? null);
        if (!after) continue;
        const delta = deltaBetween(before, after);
        if (!delta) throw new Error('a step without a difference');
        const kept = JSON.parse(JSON.stringify(delta));
        expect(undone(after, kept)).toStrictEqual(before);
        expect(redone(before, kept)).toStrictEqual(after);
        document = after;
        steps++;
      }
    }),
    { seed: 20260, numRuns: 300 },
  );
  expect(steps).toBeGreaterThan(1000);
});

test('any sequence of edits undone gives back the work that it started from, and done again what it led to', async () => {
  const { library, ink: model } = await smallLibrary(folder);
  const start = library.document(model);
  const { layouts, references } = library.targetFiles();
  const hashes = { scan: start.scans[0].hash, layout: layouts[0].hash, reference: references[0].hash };
  fc.assert(
    fc.property(fc.array(edits(hashes), { maxLength: 20, size: 'max' }), (list) => {
      const ink = library.createWork(start);
      let state = library.document(ink);
      for (const edit of list) {
        const after = tried(() => {
          library.edit(ink, edit);
          return library.document(ink);
        });
        // What was refused changed nothing.
        expect(library.document(ink)).toStrictEqual(after ?? state);
        state = after ?? state;
      }
      for (let step = library.undo(ink); step !== null; step = library.undo(ink));
      expect(library.document(ink)).toStrictEqual(start);
      for (let step = library.redo(ink); step !== null; step = library.redo(ink));
      expect(library.document(ink)).toStrictEqual(state);
    }),
    { seed: 1903, numRuns: 25 },
  );
});
