import { describe, expect, test } from 'vitest';
import { inkClaim } from '../../analysis/report/claim.ts';
import { claimedHues, huesIn } from '../../analysis/report/claimWords.ts';
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
    ['purple', 'strong purplish blue', 'dark violet or dark purplish blue', 'nearly', 'nearly'],
    ['purple', 'strong purplish blue', 'dark blue or dark purplish blue', 'nearly', 'cannot tell'],
    ['teal', 'deep greenish blue', 'dark green', 'yes', 'yes'],
    ['blue-black', 'bluish black', 'dark blue', 'yes', 'yes'],
    ['yellow', 'strong or brilliant yellow', 'olive brown', 'yes', 'no'],
    ['sea of dreams', 'moderate green', 'dark green', 'cannot tell', 'cannot tell'],
    ['dark blue', 'light blue', 'moderate blue', 'nearly', 'yes'],
    ['pale green', 'very pale green', 'dark yellowish green', 'yes', 'nearly'],
    ['purple', 'strong or brilliant violet', 'strong violet', 'nearly', 'nearly'],
    ['black', 'dark gray', 'black', 'nearly', 'yes'],
    ['not blue', 'strong blue', 'deep blue', 'cannot tell', 'cannot tell'],
    ['blue – no, really!', 'strong blue', 'deep blue', 'yes', 'yes'],
    ['red or green', 'strong red', 'deep red', 'cannot tell', 'cannot tell'],
    ['green, not red', 'strong green', 'deep green', 'yes', 'yes'],
    ['green, not red', 'strong red', 'deep red', 'no', 'no'],
    ['coral', 'strong yellowish pink', 'vivid reddish orange', 'yes', 'yes'],
    ['greenish', 'moderate green', 'dark bluish green', 'yes', 'yes'],
  ])('%s: %s, %s', (claim, thin, thick, ofThin, ofThick) => {
    const answer = inkClaim(ink(thin, thick), claim)!.claim!;
    expect([answer.thin, answer.thick]).toEqual([ofThin, ofThick]);
  });

  test('hue words, in any case and spelling', () => {
    expect(huesIn('Grey-Blue')).toEqual(['gray', 'blue']);
    expect(huesIn('bluish green')).toEqual(['green']);
    expect(huesIn('')).toEqual([]);
    // In a name a thing is as often the thing.
    expect(huesIn('Silver Birch')).toEqual([]);
    expect(claimedHues('a silver grey')).toEqual(['gray']);
    expect(claimedHues('bluish')).toEqual(['blue']);
    expect(claimedHues('bluish grey')).toEqual(['gray']);
  });

  test('sentences in order: palest, densest, hue, claim', () => {
    expect(inkClaim(ink('moderate green', 'dark green'), 'dark green')!.sentences).toEqual([
      'At its palest: the extra-fine nib writes moderate green.',
      'At its densest: the broad nib writes dark green.',
      'Its hue is still seen where it is densest: chroma 20.6 ± 2.0, above the 10 from which an eye sees one.',
      'Its maker says “dark green”, and it reads as that.',
    ]);
    expect(inkClaim(ink('moderate green', 'black'), 'green')!.sentences.at(-1)).toBe(
      'Its maker says “green”: thin writing reads as that, thick writing reads as another colour.',
    );
  });

  test('claims in odd words', () => {
    const last = (claim: string, thin: string, thick: string) => inkClaim(ink(thin, thick), claim)!.sentences.at(-1);
    expect(last('red or green', 'strong red', 'deep red')).toBe(
      'Its maker says “red or green”: colours too far apart for one ink to read as both.',
    );
    expect(last('sea of dreams', 'strong red', 'deep red')).toBe(
      'Its maker says “sea of dreams”, in which there is no word of colour to hold this against.',
    );
    expect(last('grey-violet', 'grayish or pale purple', 'grayish violet')).toBe(
      'Its maker says “grey-violet”: thin writing comes near that, thick writing reads as that.',
    );
    expect(last('green', 'moderate blue or moderate bluish green', 'dark green')).toBe(
      'Its maker says “green”: whether thin writing reads as that cannot be told, thick writing reads as that.',
    );
  });

  test('a name is no claim of its maker’s', () => {
    const told = inkClaim(ink('moderate green', 'dark green'), 'Samphire Green', 'name')!;
    expect(told.sentences.at(-1)).toBe('It is called “Samphire Green”, and it reads as that.');
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
    // Printed as 12.0 ± 2.6: the limit lies within.
    [[12, 7.2, -9.6], 1.3, 'cannot tell'],
    [[12, 7.2, -9.6], 0.9, 'yes'],
    [[25, 20, -30], 1, 'yes'],
    [[25, 20, -30], 40, 'cannot tell'],
  ] satisfies [LabValue, number, string][])('%s ± %d', (lab, u, answer) => {
    expect(inkClaim(ink('blue', 'blackish blue', lab, u), null)!.hueVisible.answer).toBe(answer);
  });
});

test.each([
  [12, 'black'],
  [50, 'gray'],
  [90, 'white'],
])('one writing without a hue at L* %d looks nearly %s', (L, word) => {
  const told = inkClaim(namesOf(REGIONS.slice(1), colour('b', [L, 1, 2], 'gray')), null)!;
  expect(told.sentences[1]).toBe(`It looks nearly ${word}: chroma 2.2 ± 2.0, and below 10 an eye hardly sees a hue.`);
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
