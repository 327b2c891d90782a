/** What a new region is called and made of, and what stays of it when its kind changes. */
import { describe, expect, test } from 'vitest';
import type { SheetRegion } from '../../electron/backend/api.ts';
import { sheetSchema } from '../../electron/sheet/sheetSchema.ts';
import { agentCaution } from '../../renderer/scans/agentCaution.ts';
import { REGION_KINDS, fieldsOf, mayBeOf, regionOf, withKind } from '../../renderer/scans/regionKinds.ts';
import { rangeProblem } from '../../renderer/scans/rangeProblem.ts';
import {
  duplicated,
  idProblem,
  nibsOf,
  ofNib,
  proposedId,
  proposedRegion,
} from '../../renderer/scans/regionProposals.ts';

const white = { id: 'white', side: 'front', of: null, widthMm: 150 } as const;
const back = { id: 'white-back', side: 'back', of: 'white', widthMm: 150 } as const;
const ef: SheetRegion = {
  id: 'ef',
  scan: 'white',
  kind: 'strokes',
  boxMm: [10, 10, 100, 20],
  nib: 'EF',
  nibWidthMm: 0.4,
};
const b: SheetRegion = {
  id: 'b',
  scan: 'white',
  kind: 'strokes',
  boxMm: [10, 90, 60, 20],
  nib: 'B',
  nibWidthMm: 1.1,
  paper: 'yellow',
};

describe('proposals', () => {
  test('the nib’s name when it is free, else kind and number', () => {
    expect(proposedId({ kind: 'strokes', nib: 'EF', run: undefined }, [])).toBe('ef');
    expect(proposedId({ kind: 'strokes', nib: 'EF', run: undefined }, [ef])).toBe('strokes-1');
    expect(proposedId({ kind: 'swab', nib: 'EF', run: undefined }, [{ id: 'swab-1' }, { id: 'Swab-2' }])).toBe(
      'swab-3',
    );
    expect(proposedId({ kind: 'strokes', nib: 'Stub 1/2"', run: undefined }, [])).toBe('stub-1-2');
    expect(proposedId({ kind: 'strip', nib: undefined, run: 'fresh' }, [])).toBe('fresh');
  });

  test('nib, width and paper are those of the nearest neighbour on the same scan', () => {
    expect(proposedRegion('bar', white, [12, 120, 40, 10], [ef, b])).toEqual({
      id: 'bar-1',
      scan: 'white',
      kind: 'bar',
      boxMm: [12, 120, 40, 10],
      paper: 'yellow',
      nib: 'B',
      nibWidthMm: 1.1,
    });
    expect(proposedRegion('bar', white, [12, 35, 40, 10], [ef, b])).toMatchObject({ nib: 'EF', nibWidthMm: 0.4 });
    expect(proposedRegion('bar', { ...white, id: 'other' }, [12, 35, 40, 10], [ef, b])).not.toHaveProperty('nib');
    expect(proposedRegion('paper', white, [12, 35, 40, 10], [ef, b])).not.toHaveProperty('nib');
  });

  test('one more sample or swab on a page is not taken for the nib above, nor called by its name', () => {
    const next = proposedRegion('strokes', white, [10, 40, 100, 20], [ef, b]);
    expect(next).toEqual({
      id: 'strokes-1',
      scan: 'white',
      kind: 'strokes',
      boxMm: [10, 40, 100, 20],
      paper: 'yellow',
    });
  });

  test('another nib does not keep the width of the one before', () => {
    const known = [
      { name: 'B', widthMm: 1.1 },
      { name: 'stub', widthMm: null },
    ];
    expect(ofNib({ nib: 'EF', nibWidthMm: 0.4 }, 'M', known)).toEqual({ nib: 'M', nibWidthMm: undefined });
    expect(ofNib({ nib: 'EF', nibWidthMm: 0.4 }, 'B', known)).toEqual({ nib: 'B', nibWidthMm: 1.1 });
    expect(ofNib({ nib: undefined, nibWidthMm: 0.4 }, 'stub', known)).toEqual({ nib: 'stub', nibWidthMm: 0.4 });
    expect(ofNib({ nib: 'stub', nibWidthMm: 0.4 }, 'stub', known)).toEqual({ nib: 'stub', nibWidthMm: 0.4 });
    // As wide as this ink's regions say, the last one first.
    expect(ofNib({}, 'EF', [...nibsOf([ef, { ...ef, nibWidthMm: 0.45 }]), ...known])).toEqual({
      nib: 'EF',
      nibWidthMm: 0.45,
    });
    expect(ofNib({ nib: 'EF', nibWidthMm: 0.4 }, '', known)).toEqual({ nib: '', nibWidthMm: undefined });
  });

  test('the second strip is the dried run, travelling as the first', () => {
    const fresh = proposedRegion('strip', white, [0, 0, 20, 100], []);
    expect(fresh).toMatchObject({ id: 'fresh', run: 'fresh', travel: 'up' });
    const first = regionOf({ ...fieldsOf(fresh), travel: 'right' });
    const lying = proposedRegion('strip', white, [30, 0, 100, 20], [first]);
    expect(lying).toMatchObject({ id: 'dried', run: 'dried', travel: 'right' });
    // Unless it lies the other way: a liquid runs lengthwise.
    expect(proposedRegion('strip', white, [30, 0, 20, 100], [first])).toMatchObject({ travel: 'up' });
    expect(proposedRegion('strip', white, [30, 0, 100, 20], [fresh])).toMatchObject({ travel: 'right' });
    expect(proposedRegion('strip', white, [30, 0, 30, 25], [first])).toMatchObject({ travel: 'right' });
  });

  test('a hatch beside one that waits for its after is that after', () => {
    const before = proposedRegion('hatch', white, [0, 0, 20, 20], []);
    expect(before).toMatchObject({ id: 'hatch-1', state: 'before' });
    const soaked = regionOf({ ...fieldsOf(before), agent: 'water' });
    expect(proposedRegion('hatch', white, [30, 0, 20, 20], [soaked])).toMatchObject({
      id: 'hatch-2',
      state: 'after',
      of: 'hatch-1',
      agent: 'water',
    });
  });

  test('on a back, left and right change places', () => {
    // ef lies at 10…110 of 150 mm: seen from behind at 40…140.
    const left: SheetRegion = { id: 'left', scan: 'white', kind: 'swab', boxMm: [5, 50, 20, 10] };
    const right: SheetRegion = { id: 'right', scan: 'white', kind: 'swab', boxMm: [125, 50, 20, 10] };
    expect(proposedRegion('reverse', back, [5, 50, 20, 10], [left, right])).toMatchObject({ of: 'right' });
    expect(proposedRegion('reverse', back, [125, 50, 20, 10], [left, right])).toMatchObject({ of: 'left' });
  });

  test('a copy has a name of its own and all else the same', () => {
    const copy = duplicated(ef, [13, 13, 100, 20], [ef]);
    expect(copy).toEqual({ ...ef, id: 'ef-2', boxMm: [13, 13, 100, 20] });
    expect(duplicated(copy, [16, 16, 100, 20], [ef, copy]).id).toBe('ef-3');
  });
});

describe('kinds', () => {
  test.each(REGION_KINDS)('a proposed $kind is one that a sheet file takes', ({ kind }) => {
    const region = proposedRegion(kind, back, [1, 2, 3, 4], [ef]);
    const sheet = { format: 'wetline-sheet/1', regions: [region] };
    expect(sheetSchema.safeParse(sheet)).toMatchObject({ success: true });
  });

  test.each(REGION_KINDS)('any region turned into a $kind is one that a sheet file takes', ({ kind }) => {
    const all = REGION_KINDS.map((k) => proposedRegion(k.kind, back, [1, 2, 3, 4], [ef, b]));
    for (const region of all) {
      const turned = withKind(region, kind);
      expect(sheetSchema.safeParse({ format: 'wetline-sheet/1', regions: [turned] })).toMatchObject({ success: true });
      expect(turned).toMatchObject({ id: region.id, kind, boxMm: [1, 2, 3, 4] });
    }
  });

  test('a pen’s fields stay from one pen kind to another and go where no pen was', () => {
    expect(withKind(ef, 'swab')).toEqual({ ...ef, kind: 'swab' });
    expect(withKind(ef, 'paper')).toEqual({ id: 'ef', scan: 'white', kind: 'paper', boxMm: [10, 10, 100, 20] });
  });

  test('emptied fields are left out, not kept empty', () => {
    expect(regionOf({ ...fieldsOf(b), paper: '', nib: '', nibWidthMm: undefined })).toEqual({
      id: 'b',
      scan: 'white',
      kind: 'strokes',
      boxMm: [10, 90, 60, 20],
    });
  });

  test('a hatch after belongs to a hatch before, a reverse to a sample, nothing to itself', () => {
    const after = { id: 'h2', scan: 'white', kind: 'hatch', state: 'after' } as const;
    const before = { id: 'h1', scan: 'white', kind: 'hatch', state: 'before' } as const;
    const reverse = { id: 'r', scan: 'white-back', kind: 'reverse' } as const;
    expect(mayBeOf(after, before)).toBe(true);
    expect(mayBeOf(before, after)).toBe(false);
    expect(mayBeOf(after, after)).toBe(false);
    expect(mayBeOf(reverse, ef)).toBe(true);
    expect(mayBeOf(reverse, { ...reverse, id: 'r2' })).toBe(false);
    expect(mayBeOf(ef, b)).toBe(false);
  });
});

test('a name is refused in words when it is empty, taken, or would not do in a file name', () => {
  expect(idProblem('ef', 'ef', [ef, b], 'region')).toBeNull();
  expect(idProblem('fine', 'ef', [ef, b], 'region')).toBeNull();
  expect(idProblem(' ', 'ef', [ef, b], 'region')).toContain('needs a name');
  expect(idProblem('b', 'ef', [ef, b], 'region')).toContain('another region');
  expect(idProblem('a/b', 'ef', [ef, b], 'region')).toContain('slash');
  expect(idProblem('e'.repeat(80), 'ef', [ef, b], 'region')).toBeNull();
  expect(idProblem('e'.repeat(81), 'ef', [ef, b], 'region')).toBe('Found 81 letters; expected at most 80. Shorten it.');
});

test('a number beyond what may be is refused in words', () => {
  const width = { least: 0.01, most: 100, unit: 'mm' };
  expect([0.01, 0.4, 100].map((typed) => rangeProblem(typed, width))).toEqual([null, null, null]);
  expect(rangeProblem(0, width)).toBe('Found 0; expected at least 0.01 mm.');
  expect(rangeProblem(400, width)).toBe('Found 400; expected at most 100 mm.');
  expect(rangeProblem(-3, {})).toBeNull();
});

test('a form gives back all that a strip’s sheet says: run time, liquid, temperature and bands by hand', () => {
  const strip: SheetRegion = {
    id: 'fresh',
    scan: 'strip',
    kind: 'strip',
    boxMm: [5, 5, 18, 100],
    run: 'fresh',
    originMm: 88,
    frontMm: 15,
    travel: 'up',
    runS: 1200,
    liquid: 'water',
    temperatureC: 21,
    bands: [{ rF: 0.4 }, { rF: 0.6, removed: true }, { rF: 0.7, with: 0.8 }],
  };
  expect(regionOf(fieldsOf(strip))).toEqual(strip);
  expect(regionOf({ ...fieldsOf(strip), bands: [] })).not.toHaveProperty('bands');
});

describe('an agent’s caution', () => {
  test.each(['', 'water', 'tap water', 'Light', 'Wasser'])('“%s” needs none', (agent) => {
    expect(agentCaution(agent)).toBeNull();
  });

  test.each([
    ['bleach', /never meets ammonia.*acid.*alcohol.*toxic gases form/],
    ['household Bleach 5 %', /gloves, eye protection and an open window/],
    ['sodium hypochlorite', /toxic gases form/],
    ['pen cleaner', /^Never near bleach.*toxic gases form/],
    ['ammonia solution', /^Never near bleach/],
    ['vinegar', /^Never near bleach/],
    ['isopropanol', /^Never near bleach.*burns.*no flame/],
    ['mystery fluid', /safety data sheet.*Bleach never meets/],
  ])('“%s” has one', (agent, expected) => {
    expect(agentCaution(agent)).toMatch(expected);
    expect(agentCaution(agent)).toMatch(/label, .*safety data sheet/);
  });
});
