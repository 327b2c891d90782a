/** Progress fits into the window that it is told in, and leaves nothing behind. */
import { expect, test } from 'vitest';
import { progressLine, tellWritten } from '../../electron/commands/progressLine.ts';

/** A terminal of so many columns, and what it was told. */
function terminal(columns?: number, watched = true) {
  const told: string[] = [];
  return { told, out: () => undefined, err: (text: string) => void told.push(text), watched, columns };
}

/** The line as it stands on the screen. */
function shown(text: string): string {
  return text.replace('\r\u001b[2K', '');
}

test.each([
  ['a narrow window', 20, 'a paper of a long name', '1 of 9  a paper of '],
  ['a wide one', 200, 'x'.repeat(100), `1 of 9  ${'x'.repeat(70)}`],
  ['one that does not tell', undefined, 'x'.repeat(100), `1 of 9  ${'x'.repeat(70)}`],
  ['letters of two columns', 20, '墨水墨水墨水墨水', '1 of 9  墨水墨水墨'],
])('%s: one line, cut where it would run over', (_, columns, what, line) => {
  const heard = terminal(columns);
  const progress = progressLine(heard, false);
  progress.show(1, 9, what);
  expect(heard.told.map(shown)).toEqual([line]);
  progress.clear();
  expect(heard.told).toHaveLength(2);
  expect(shown(heard.told[1])).toBe('');
});

test('what was written is told to whoever watches, and to nobody else', () => {
  const heard = [terminal(80), terminal(80), terminal(80, false), terminal(80)];
  tellWritten(heard[0], false, ['a.json', 'pictures in out']);
  tellWritten(heard[1], true, ['a.json']);
  tellWritten(heard[2], false, ['a.json']);
  tellWritten(heard[3], false, []);
  expect(heard.map(({ told }) => told)).toEqual([['wetline: wrote a.json, pictures in out.\n'], [], [], []]);
});
