/** Where a command may write: names that end as another kind of file does are refused before any work. */
import { expect, test } from 'vitest';
import { refuseOtherKinds } from '../../electron/commands/outputs.ts';

test.each([
  ['--out', 'ink.csv', 'writes JSON; expected a name that ends in .json. Write --csv ink.csv'],
  ['--csv', 'ink.JSON', 'writes CSV; expected a name that ends in .csv. Write --out ink.JSON'],
  ['--curves', 'ink.json', 'writes CSV'],
])('%s %s is refused', (option, file, expected) => {
  expect(() => refuseOtherKinds(new Map([[option, file]]))).toThrow(expected);
});

test.each([
  ['--out', 'ink.json'],
  ['--out', 'findings'],
  ['--csv', 'ink.txt'],
])('%s %s is taken', (option, file) => {
  expect(() => refuseOtherKinds(new Map([[option, file]]))).not.toThrow();
});
