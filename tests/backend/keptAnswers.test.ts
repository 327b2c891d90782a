/** What is kept of an ink's work between two questions is what asking anew would give. */
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { findingsInJson, findingsOf } from '../../electron/answers/findingsOf.ts';
import { KeptAnswers } from '../../electron/answers/keptAnswers.ts';
import { standingOf } from '../../electron/answers/standing.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { testFolder } from '../host/folder.ts';
import { smallLibrary } from '../library/smallLibrary.ts';

const folder = testFolder();

test('an ink’s work is laid out once, and anew when it was edited, when a file has gone and when that has come back', async () => {
  const { library, ink } = await smallLibrary(folder);
  const first = standingOf(library, ink);
  expect(standingOf(library, ink)).toBe(first);

  library.edit(ink, { edit: 'removeRegions', ids: ['run'] });
  const edited = standingOf(library, ink);
  expect([...first.madeFrom.keys()]).toContain('run');
  expect([...edited.madeFrom.keys()]).not.toContain('run');

  const { hash, path } = edited.scans.get('white')!.file!;
  rmSync(path);
  expect(standingOf(library, ink).scans.get('white')!.problem).toContain('gone');
  await library.addFileFrom(join(folder.path, 'white.png'));
  expect(library.fileProblem(hash)).toBeNull();
  expect(standingOf(library, ink).scans.get('white')!.problem).toBeNull();
});

test('findings in JSON are those of now: of the last run, and no longer current once their region was moved', async () => {
  const { library, ink } = await smallLibrary(folder);
  const told = (): unknown => JSON.parse(new TextDecoder().decode(findingsInJson(library, ink)));
  const asNow = (): unknown => JSON.parse(JSON.stringify(findingsOf(library, ink)));
  expect(told()).toEqual(asNow());
  const finding: Quantity = {
    quantity: 'paperColour',
    subject: { regions: ['bare'] },
    value: [94, 0, 1],
    unit: 'Lab',
    u: null,
    flags: [],
    method: 'paperColour/1',
  };
  const key = standingOf(library, ink).madeFrom.get('bare')!;
  const measuredAt = '2026-01-01T00:00:00.000Z';
  const trace = { scans: [], calibration: null, measuredAt };
  library.saveRun(ink, { measuredAt, findings: [{ key: 'p', finding, trace, regionKeys: [key] }], problems: [] });
  expect(told()).toMatchObject({ measuredAt, findings: [{ key: 'p', current: true }] });
  expect(findingsInJson(library, ink)).toBe(findingsInJson(library, ink));

  library.edit(ink, { edit: 'removeRegions', ids: ['bare'] });
  expect(told()).toEqual(asNow());
  expect(told()).toMatchObject({ findings: [] });
});

test('what is foretold of a pen holds as long as its samples are of one nib and the paper that it is foretold on has its name', async () => {
  const { library, ink } = await smallLibrary(folder);
  const ef = library.document(ink).regions.find(({ id }) => id === 'ef');
  if (ef?.kind !== 'strokes') throw new Error('no lines');
  library.edit(ink, { edit: 'addRegion', region: { ...ef, id: 'ef-again' } });
  const { madeFrom } = standingOf(library, ink);
  const regions = ['ef', 'ef-again'];
  const foretold = (on: string) => ({
    key: on,
    finding: {
      quantity: 'predictedColour',
      subject: { regions, on },
      value: [40, 0, 0],
      unit: 'Lab',
      u: null,
      flags: [],
      method: 'predictedColour/1',
    } satisfies Quantity,
    trace: { scans: [], calibration: null, measuredAt: '' },
    regionKeys: regions.map((id) => madeFrom.get(id)!),
  });
  const paper = standingOf(library, ink).loaded.regions.find(({ id }) => id === 'bare')?.paper ?? '';
  library.saveRun(ink, { measuredAt: '', findings: [foretold(paper), foretold('of old')], problems: [] });
  const current = () => findingsOf(library, ink).findings.map((found) => found.current);
  expect(current()).toEqual([true, false]);
  library.edit(ink, { edit: 'changeRegion', id: 'ef-again', region: { ...ef, id: 'ef-again', nib: 'B' } });
  expect(current()).toEqual([false, false]);
});

test('an answer is kept for the very same things that it tells of, and the oldest goes first', () => {
  const kept = new KeptAnswers(1);
  const [one, other] = [{}, {}];
  const bytes = kept.keep('a', [one, 1], { said: 'a' });
  expect(kept.get('a', [one, 1])).toBe(bytes);
  expect(kept.get('a', [other, 1])).toBeNull();
  expect(kept.get('a', [one])).toBeNull();
  expect(kept.get('a', [one, 1, null])).toBeNull();
  kept.keep('b', [], null);
  expect(kept.get('a', [one, 1])).toBeNull();
});
