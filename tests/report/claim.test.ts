import { describe, expect, test } from 'vitest';
import { huesIn, inkClaim } from '../../analysis/report/claim.ts';
import { namesOf, type RegionName } from '../../analysis/report/names.ts';
import type { LabValue, Quantity } from '../../analysis/quantity.ts';

const strokes = (id: string, nib: string): RegionName => ({ id, kind: 'strokes', nib, paper: 'white', run: null });
const REGIONS = [strokes('ef', 'EF'), strokes('b', 'B')];

function colour(region: string, lab: LabValue, verdict: string, u = 1): Quantity[] {
  const subject = { regions: [region] };
  const common = { subject, flags: [], method: 'inkColour/1' };
  return [
    { quantity: 'inkColour', value: lab, u: [u, u, u], unit: 'Lab', verdict, ...common },
    { quantity: 'inkColour.chroma', value: Math.hypot(lab[1], lab[2]), u, unit: '1', ...common },
  ];
}

const ink = (thin: string, thick: string, thickLab: LabValue = [20, -20, -5], u = 1) =>
  namesOf(REGIONS, [...colour('b', thickLab, thick, u), ...colour('ef', [45, -30, 5], thin)]);

describe('what the maker claims', () => {
  test.each([
    ['dark green', 'moderate green', 'dark green', 'yes', 'yes'],
    ['Dark Green', 'moderate bluish green', 'dark greenish blue', 'yes', 'nearly'],
    ['green', 'moderate blue', 'blackish blue', 'no', 'no'],
    ['green', 'moderate blue or moderate bluish green', 'dark blue', 'cannot tell', 'no'],
    ['purple', 'strong purplish blue', 'dark violet or dark purplish blue', 'nearly', 'cannot tell'],
    ['teal', 'deep greenish blue', 'dark green', 'yes', 'yes'],
    ['blue-black', 'bluish black', 'dark blue', 'yes', 'yes'],
    ['yellow', 'strong or brilliant yellow', 'olive brown', 'yes', 'no'],
    ['sea of dreams', 'moderate green', 'dark green', 'cannot tell', 'cannot tell'],
  ])('%s: %s, %s', (claim, thin, thick, ofThin, ofThick) => {
    const answer = inkClaim(ink(thin, thick), claim)!.claim!;
    expect([answer.thin, answer.thick]).toEqual([ofThin, ofThick]);
  });

  test('hue words, in any case and spelling', () => {
    expect(huesIn('Grey-Blue')).toEqual(['gray', 'blue']);
    expect(huesIn('bluish green')).toEqual(['green']);
    expect(huesIn('')).toEqual([]);
  });

  test('sentences in order: palest, densest, hue, claim', () => {
    expect(inkClaim(ink('moderate green', 'dark green'), 'dark green')!.sentences).toEqual([
      'At its palest: the extra-fine nib writes moderate green.',
      'At its densest: the broad nib writes dark green.',
      'Where it is densest its hue is still seen (chroma 20.6 ± 2.0, limit 10).',
      'Its maker says “dark green”, and it reads as that.',
    ]);
    expect(inkClaim(ink('moderate green', 'black'), 'green')!.sentences.at(-1)).toBe(
      'Its maker says “green”: thin writing reads as that, thick writing reads as another colour.',
    );
  });

  test('nothing claimed, nothing answered', () => {
    const told = inkClaim(ink('moderate green', 'dark green'), null)!;
    expect(told.claim).toBeNull();
    expect(told.sentences).toHaveLength(3);
  });
});

describe('whether the hue is seen where the ink is densest', () => {
  test.each([
    [[12, 3, -4], 1, 'no'],
    [[12, 6, -8.4], 1, 'cannot tell'],
    [[25, 20, -30], 1, 'yes'],
    [[25, 20, -30], 40, 'cannot tell'],
  ] satisfies [LabValue, number, string][])('%s ± %d', (lab, u, answer) => {
    expect(inkClaim(ink('blue', 'blackish blue', lab, u), null)!.hueVisible.answer).toBe(answer);
  });
});

describe('which paper is looked at', () => {
  const on = (id: string, nib: string, paper: string): RegionName => ({ id, kind: 'strokes', nib, paper, run: null });
  const bare = (id: string, paper: string): RegionName => ({ id, kind: 'paper', nib: null, paper, run: null });
  const regions = [
    on('ef-kraft', 'EF', 'kraft'),
    on('b-kraft', 'B', 'kraft'),
    on('ef-white', 'EF', 'white'),
    on('b-white', 'B', 'white'),
    bare('bare-kraft', 'kraft'),
    bare('bare-white', 'white'),
  ];
  const written = [
    ...colour('b-kraft', [18, 2, 9], 'olive black'),
    ...colour('ef-kraft', [55, -4, 20], 'moderate olive'),
    ...colour('ef-white', [50, -30, -20], 'moderate greenish blue'),
    ...colour('b-white', [25, -20, -18], 'dark greenish blue'),
  ];
  const paperColour = (region: string, value: LabValue): Quantity => ({
    quantity: 'paperColour',
    subject: { regions: [region] },
    value,
    u: [1, 1, 1],
    unit: 'Lab',
    flags: [],
    method: 'paperColour/2',
  });

  test('the whitest, though another paper holds paler and denser writing', () => {
    const papers = [paperColour('bare-kraft', [65, 8, 22]), paperColour('bare-white', [95, 0, -2])];
    const told = inkClaim(namesOf(regions, [...papers, ...written]), 'blue')!;
    expect([told.thin.region, told.thick.region]).toEqual(['ef-white', 'b-white']);
    expect(told.sentences[0]).toBe('At its palest: the extra-fine nib writes moderate greenish blue on “white”.');
    expect(told.claim).toMatchObject({ thin: 'yes', thick: 'yes' });
  });

  test('without bare papers the first that is written on', () => {
    const told = inkClaim(namesOf(regions, written), 'blue')!;
    expect([told.thin.region, told.thick.region]).toEqual(['ef-kraft', 'b-kraft']);
  });
});

test('an ink without writing has no such statement', () => {
  expect(inkClaim(namesOf(REGIONS), 'green')).toBeNull();
});
