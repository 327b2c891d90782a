/** Where a command may write: names that end as another kind of file does are refused before any work. */
import { expect, test } from 'vitest';
import { refuseOtherKinds } from '../../electron/commands/outputs.ts';

const MEASURED = { '--out': 'JSON', '--csv': 'CSV', '--curves': 'CSV' } as const;
const CARD = { '--out': 'PDF', '--layout': 'JSON' } as const;

test.each([
  ['--out', 'ink.csv', 'writes JSON; expected a name that ends in .json. Write --csv ink.csv'],
  ['--csv', 'ink.JSON', 'writes CSV; expected a name that ends in .csv. Write --out ink.JSON'],
  ['--curves', 'ink.json', 'writes CSV'],
  ['--out', 'white.png', 'writes JSON; expected a name that ends in .json. Choose another name.'],
])('%s %s is refused', (option, file, expected) => {
  expect(() => refuseOtherKinds(new Map([[option, file]]), MEASURED)).toThrow(expected);
});

test.each([
  ['--out', 'ink.json'],
  ['--out', 'findings'],
  ['--csv', 'ink.txt'],
])('%s %s is taken', (option, file) => {
  expect(() => refuseOtherKinds(new Map([[option, file]]), MEASURED)).not.toThrow();
});

test('what a command writes is asked of that command', () => {
  expect(() => refuseOtherKinds(new Map([['--out', 'card.pdf']]), CARD)).not.toThrow();
  expect(() => refuseOtherKinds(new Map([['--out', 'card.json']]), CARD)).toThrow(
    'writes PDF; expected a name that ends in .pdf. Write --layout card.json if that is what you mean.',
  );
  expect(() => refuseOtherKinds(new Map([['--out', 'card.ti3']]), { '--out': 'CGATS text' })).not.toThrow();
});
