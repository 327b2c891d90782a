/** Which dye makes the halo, in words: only what stands out beyond doubt is told. */
import { expect, test } from 'vitest';
import { zoneSentences, type ZoneOfDyes } from '../../analysis/report/dyeZones.ts';

const DYES = [
  { band: 1, name: 'strong pink' },
  { band: 2, name: null },
];
const zone = (name: ZoneOfDyes['zone'], amounts: number[], shares: number[], misfit = 0.5): ZoneOfDyes => ({
  zone: name,
  amounts,
  u: [0.02, 0.02],
  shares,
  misfit,
});
const core = zone('core', [0.8, 0.4], [0.7, 0.3]);

test('the dye that the halo is richer in than the strokes', () => {
  expect(zoneSentences([core, zone('ring', [0.01, 0.2], [0.05, 0.95])], DYES, 0.8)).toEqual([
    'The halo is made most by the dye of band 2: 95 % of the colour there, against 30 % in the middle of the strokes.',
    'Of the colour in the middle of the strokes, 70 % comes from the dye of band 1 (strong pink) and 30 % from the dye of band 2.',
  ]);
});

test('a halo that is the ink itself', () => {
  const [halo] = zoneSentences([core, zone('ring', [0.1, 0.06], [0.66, 0.34])], DYES, 0.8);
  expect(halo).toBe(
    'The halo is made most by the dye of band 1 (strong pink): 66 % of the colour there, about as much as in the middle of the strokes (70 %): it is the ink as a whole, thinned.',
  );
});

test('where nothing stands out from the paper, or no halo was seen, that is what is said', () => {
  const [nothing] = zoneSentences([core, zone('ring', [0.01, 0.03], [0.3, 0.7])], DYES, null);
  expect(nothing).toBe(
    'No halo was measured around these strokes. Around the strokes none of these dyes stands out from what the paper itself leaves open.',
  );
  const [little] = zoneSentences([zone('ring', [0.01, 0.3], [0.1, 0.9])], DYES, null);
  expect(little).toMatch(/What little lies in the ring is made most by the dye of band 2: 90 % of the colour there\.$/);
});

test('dyes that cannot be told apart, and colours that these dyes do not make', () => {
  const lines = zoneSentences([zone('core', [0.03, 0.03], [0.5, 0.5], 4)], DYES, null);
  expect(lines[0]).toBe('In the middle of the strokes the dyes cannot be told apart.');
  expect(lines[1]).toMatch(/^These dyes alone do not make the colour in the middle of the strokes: another is there/);
});

test('the dye of most comes first, and one within ± 2u of nothing is not told', () => {
  const three = [{ band: 1, name: null }, { band: 2, name: null }, { band: 3, name: null }]; // prettier-ignore
  const of = (name: ZoneOfDyes['zone'], amounts: number[], shares: number[]) =>
    zoneSentences([{ ...zone(name, amounts, shares), u: [0.02, 0.02, 0.02] }], three, 0.5)[0];
  expect(of('core', [0.2, 0.05, 0.6], [0.24, 0.06, 0.7])).toBe(
    'Of the colour in the middle of the strokes, 70 % comes from the dye of band 3, 24 % from the dye of band 1 and 6 % from the dye of band 2.',
  );
  expect(of('core', [0.2, 0.039, 0.6], [0.24, 0.06, 0.7])).not.toContain('band 2');
  expect(of('ring', [0.2, 0.05, 0.6], [0.24, 0.06, 0.7])).toBe(
    'The halo is made most by the dye of band 3: 70 % of the colour there.',
  );
});

test.each([
  [0.62, 'about as much as'],
  [0.78, 'about as much as'],
  [0.58, 'against 70 %'],
  [0.82, 'against 70 %'],
])('a ring’s share of %d beside 0.7 in the strokes is %s', (share, words) => {
  const [halo] = zoneSentences([core, zone('ring', [0.1, 0.03], [share, 1 - share])], DYES, 0.8);
  expect(halo).toContain(words);
});

test('zones that these dyes do not make are named, where any dye lies', () => {
  const strange = (...zones: ZoneOfDyes[]) => zoneSentences(zones, DYES, 0.8).filter((line) => line.includes('alone'));
  const edge = (misfit: number, amounts = [0.2, 0]) => zone('edge', amounts, [1, 0], misfit);
  expect(strange(edge(1.9))).toEqual([]);
  expect(strange(edge(2.1, [0, 0]))).toEqual([]);
  expect(strange(edge(2.1), zone('ring', [0.1, 0.03], [0.7, 0.3], 3))).toEqual([
    'These dyes alone do not make the colour along their edges and in the ring around them: another is there, or the paper shows a dye otherwise.',
  ]);
});
