import { mkdirSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { placeOf } from '../../electron/sheet/placeOf.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { refuseOutputs } from '../../electron/commands/outputs.ts';
import { testFolder } from './folder.ts';
import { putFiles, soundSheet } from './smallSheet.ts';

const folder = testFolder();
/** An umlaut as one letter, and as a letter with two dots over it, as a Mac's archive holds it. */
const [ONE, TWO] = ['Blöcke', 'Blöcke'].map((name, i) => name.normalize(i === 0 ? 'NFC' : 'NFD'));

test('a sheet finds its files however the system spells their accents, in folders too', async () => {
  mkdirSync(join(folder.path, TWO));
  putFiles(folder);
  const sheet = soundSheet();
  for (const file of ['white.png', 'layout.json'])
    renameSync(join(folder.path, file), join(folder.path, TWO, `${TWO}-${file}`));
  const named = JSON.stringify(sheet)
    .replaceAll('"white.png"', `"${ONE}/${ONE}-white.png"`)
    .replaceAll('"layout.json"', `"${ONE}/${ONE}-layout.json"`);
  const loaded = await loadSheet(folder.put('sheet.json', named));
  expect([loaded.problems, loaded.targetProblems]).toEqual([[], []]);
  expect(loaded.scans.get('white')?.file).toBe(placeOf(folder.path, `${ONE}/${ONE}-white.png`));
  const out = new Map([['--out', join(folder.path, TWO, `${TWO}-white.png`)]]);
  await expect(refuseOutputs(out, loaded, true)).rejects.toThrow('which the sheet reads; it is never replaced');
});

test('what is not there stays where it would be, and what is there as it is called is taken first', () => {
  expect(placeOf(folder.path, 'gonë/scän.png')).toBe(join(folder.path, 'gonë', 'scän.png'));
  const [one, two] = ['é.png', 'é.png'].map((name, i) => folder.put(name.normalize(i === 0 ? 'NFC' : 'NFD'), ''));
  expect([placeOf(folder.path, one), placeOf(folder.path, two)]).toEqual([one, two]);
});
