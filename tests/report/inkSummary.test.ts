import { expect, test } from 'vitest';
import { findingKey } from '../../analysis/report/findingKey.ts';
import { inkSummary } from '../../analysis/report/inkSummary.ts';
import { namesOf } from '../../analysis/report/names.ts';
import { sampleFinding, sampleFindings, sampleNames, sampleRegions } from './sampleNames.ts';

test('keys name a finding by quantity, regions and band', () => {
  expect(findingKey(sampleFinding('shading(ef-white)'))).toBe('shading(ef-white)');
  expect(findingKey({ quantity: 'nibShading', subject: { regions: ['a', 'b'] } })).toBe('nibShading(a,b)');
  expect(findingKey({ quantity: 'bandColour', subject: { regions: ['fresh'], band: 2 } })).toBe('bandColour(fresh)#2');
  expect(new Set(sampleFindings.map(findingKey)).size).toBe(sampleFindings.length);
});

test('the sample ink in a few sentences, each with a finding behind it', () => {
  const parts = inkSummary(sampleNames);
  expect(parts.map(({ title }) => title)).toEqual(['Colour', 'Shading', 'On other paper', 'In the strip']);
  const [colour, shading, paper, strips] = parts.map(({ lines }) => lines);
  expect(colour).toHaveLength(6);
  expect(colour[0].text).toBe(
    'The extra-fine nib writes moderate violet or moderate purplish blue on “bright white, smooth”.',
  );
  // The most shading of all: twelve, on yellow.
  expect(shading[0]).toEqual({
    key: 'shading(ef-yellow)',
    colours: [],
    text: 'The extra-fine nib’s writing on “yellow, dyed” shades by 12.0 ± 2.6 ΔE00 between its dark and its light tenth: strong.',
  });
  expect(colour[0].colours).toEqual([sampleFinding('inkColour(ef-white)').value]);
  expect(shading[1].key).toBe('nibShading(ef-white,b-white)');
  expect(paper.map(({ key }) => key)).toEqual(['toneShift.adapted(b-white,b-yellow)']);
  expect(strips[0].text).toBe(
    'The fresh strip shows three bands: strong purplish pink or strong pink; pale yellow green or pale greenish yellow; vivid blue.',
  );
  expect(strips[0].colours).toHaveLength(3);
  for (const { key } of parts.flatMap(({ lines }) => lines)) expect(sampleNames.findings.has(key)).toBe(true);
});

test('an ink without findings has no summary, and one without strips none of strips', () => {
  expect(inkSummary(namesOf(sampleRegions))).toEqual([]);
  const written = sampleFindings.filter(({ quantity }) => quantity === 'inkColour');
  expect(inkSummary(namesOf(sampleRegions, written)).map(({ title }) => title)).toEqual(['Colour']);
});

test('a strip without bands says so', () => {
  const none = {
    quantity: 'bandColour',
    subject: { regions: ['fresh'] },
    value: null,
    u: null,
    unit: 'Lab',
    flags: ['no-bands'],
    method: 'bandColour/1',
  } as const;
  const [part] = inkSummary(namesOf(sampleRegions, [none]));
  expect(part.lines[0].text).toMatch(
    /^The colour of the bands of the fresh strip cannot be told, because no band rises/,
  );
});

test('what may be another ink stands first, with its distance', () => {
  const odd = {
    quantity: 'pathDistance',
    subject: { regions: ['m-white'] },
    value: 6.2,
    u: 0.5,
    unit: 'ΔE00',
    flags: ['another-ink'],
    method: 'pathDistance/1',
  } as const;
  const [first] = inkSummary(namesOf(sampleRegions, [...sampleFindings, odd]));
  expect(first.title).toBe('Another ink or contaminated?');
  expect(first.lines.map(({ key }) => key)).toEqual(['pathDistance(m-white)']);
  expect(first.lines[0].text).toContain('6.2 ± 1.0 ΔE00');
  const [other] = inkSummary(namesOf(sampleRegions, [...sampleFindings, { ...odd, flags: [] }]));
  expect(other.title).toBe('Colour');
});

test('a nib’s width that cannot be is asked after in one line', () => {
  const wrong = {
    quantity: 'spread',
    subject: { regions: ['m-white'] },
    value: -89.2,
    u: 0.4,
    unit: '%',
    flags: ['nib-width-doubtful'],
    method: 'spread/2',
  } as const;
  const [first] = inkSummary(namesOf(sampleRegions, [...sampleFindings, wrong]));
  expect(first.title).toBe('Nib width or dpi wrong?');
  expect(first.lines.map(({ text }) => text)).toEqual([
    'The lines of the medium nib’s writing on “bright white, smooth” come out 89.20 ± 0.80 % narrower than the nib is said to be: is its width wrong, or the scan’s dpi?',
  ]);
});
