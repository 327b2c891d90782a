/** The plain statement of an ink at the top of the grid and of the summary. */
import { expect, test } from 'vitest';
import type { LabValue, Quantity } from '../../analysis/quantity.ts';
import { namesOf } from '../../analysis/report/names.ts';
import { claimLines } from '../../renderer/reading/claimLines.ts';

const colour = (region: string, value: LabValue, verdict: string): Quantity => ({
  quantity: 'inkColour',
  subject: { regions: [region] },
  value,
  u: [1, 1, 1],
  unit: 'Lab',
  verdict,
  flags: [],
  method: 'inkColour/1',
});
const chroma: Quantity = {
  quantity: 'inkColour.chroma',
  subject: { regions: ['b'] },
  value: 28,
  u: 1.5,
  unit: '1',
  flags: [],
  method: 'inkColour/1',
};
const regions = [
  { id: 'ef', kind: 'strokes', nib: 'EF', paper: 'white', run: null },
  { id: 'b', kind: 'strokes', nib: 'B', paper: 'white', run: null },
];
const names = namesOf(regions, [
  colour('ef', [55, 2, -30], 'moderate blue'),
  colour('b', [30, 5, -28], 'dark blue'),
  chroma,
]);

test('thin, thick and whether the hue is seen, each with the finding that it tells', () => {
  const lines = claimLines(names, 'Curlew Midnight');
  expect(lines.map(({ key }) => key)).toEqual(['inkColour(ef)', 'inkColour(b)', 'inkColour.chroma(b)']);
  expect(lines.map(({ lab }) => lab)).toEqual([[55, 2, -30], [30, 5, -28], null]);
  expect(lines[0].text).toContain('moderate blue');
  expect(lines[1].text).toContain('dark blue');
});

test('a name that holds a hue is held against what is seen; it is no finding of its own', () => {
  const last = (ink: string) => claimLines(names, ink).at(-1);
  expect(last('Plover Blue')).toEqual({ text: expect.stringContaining('reads as that'), key: null, lab: null });
  expect(last('Samphire Green')?.text).toContain('another colour');
});

test('one nib is told once; without writing there is nothing to state', () => {
  const one = namesOf([regions[0]], [colour('ef', [55, 2, -30], 'moderate blue')]);
  expect(claimLines(one, 'Plover Blue').map(({ key }) => key)).toEqual(['inkColour(ef)', null, null]);
  expect(claimLines(namesOf(regions), 'Plover Blue')).toEqual([]);
});

test('the maker’s own word goes before the name', () => {
  const last = (claim: string | null) => claimLines(names, 'Plover Blue', claim).at(-1)?.text;
  expect(last('dark green')).toContain('another colour');
  expect(last('blue')).toContain('reads as that');
  expect(last(null)).toContain('reads as that');
});
