import { describe, expect, test } from 'vitest';
import {
  findingOfBand,
  findingOfRegion,
  nextRegion,
  sameRegionOther,
  scansOf,
} from '../../renderer/findings/choice.ts';
import { listed, problemsWithoutCell, standingOf, staleWords } from '../../renderer/findings/standing.ts';
import { limitWords } from '../../renderer/findings/tables/limitWords.ts';
import { firstFilled, stepIn } from '../../renderer/findings/tables/gridSteps.ts';
import { sampleBench, sampleFindings } from './findingsSample.ts';

const { regions } = sampleBench();
const region = (id: string) => regions.find((r) => r.region.id === id)!.region;
const of = (key: string) => sampleFindings.find((f) => f.key === key)!;

describe('what answers for a region of the scan', () => {
  test.each([
    ['ef-white', 'shading', 'shading(ef-white)'],
    ['ef-white', 'density', 'inkDensity(ef-white)'],
    ['swab-even-white', 'shading', 'swabVariation(swab-even-white)'],
    ['swab-even-white', 'dHue', 'swabVariation(swab-even-white)'],
    ['bare-white', 'colour', 'paperColour(bare-white)'],
    ['fresh', 'shading', 'bandPosition(fresh)#1'],
  ] as const)('%s while the grid shows %s', (id, figure, key) => {
    expect(findingOfRegion(region(id), sampleFindings, figure)?.key).toBe(key);
  });

  test('a region without findings has no answer', () => {
    expect(findingOfRegion(region('ef-white'), [of('shading(m-white)')], 'shading')).toBeNull();
  });

  test('another band answers with the figure that was being looked at, else with its place', () => {
    expect(findingOfBand('dried', 3, sampleFindings, of('bandColour(fresh)#1'))?.key).toBe('bandColour(dried)#3');
    expect(findingOfBand('dried', 3, sampleFindings, of('shading(m-white)'))?.key).toBe('bandPosition(dried)#3');
    expect(findingOfBand('dried', 3, sampleFindings, of('bandResolution(dried)#1'))?.key).toBe('bandPosition(dried)#3');
    expect(findingOfBand('dried', 9, sampleFindings, null)).toBeNull();
  });

  test('another figure keeps the region, where it has that figure', () => {
    expect(sameRegionOther(of('shading(m-white)'), sampleFindings, 'colour')?.key).toBe('inkColour(m-white)');
    expect(sameRegionOther(of('swabVariation(swab-even-white)'), sampleFindings, 'dHue')).toBeNull();
    expect(sameRegionOther(of('nibShading(ef-white,m-white)'), sampleFindings, 'colour')).toBeNull();
  });

  test('regions follow each other, round and round, those without findings left out', () => {
    const ids = regions.map((r) => r.region);
    const some = sampleFindings.filter(({ finding }) => finding.subject.regions[0] !== 'm-white');
    expect(nextRegion(ids, sampleFindings, null, 1)).toBe('bare-white');
    expect(nextRegion(ids, sampleFindings, null, -1)).toBe('dried');
    expect(nextRegion(ids, sampleFindings, of('originRetained(dried)'), 1)).toBe('bare-white');
    expect(nextRegion(ids, some, of('shading(ef-white)'), 1)).toBe('m-white'); // the second of a pair counts
    expect(
      nextRegion(
        ids,
        sampleFindings.filter(({ key }) => !key.includes('m-white')),
        of('shading(ef-white)'),
        1,
      ),
    ).toBe('b-white');
    expect(nextRegion(ids, [], null, 1)).toBeNull();
  });

  test('a pair of papers lies on two scans, a pair of nibs on one', () => {
    expect(scansOf(of('toneShift(m-white,m-yellow)'), regions)).toEqual(['white', 'yellow']);
    expect(scansOf(of('nibShading(ef-white,m-white)'), regions)).toEqual(['white']);
  });
});

describe('arrows in a table', () => {
  const filled = [
    [false, true, true],
    [false, false, false],
    [true, false, true],
  ];
  test.each([
    ['ArrowRight', [0, 1], [0, 2]],
    ['ArrowRight', [0, 2], null],
    ['ArrowLeft', [2, 2], [2, 0]],
    ['ArrowDown', [0, 2], [2, 2]],
    ['ArrowDown', [0, 1], [2, 0]],
    ['ArrowUp', [2, 0], [0, 1]],
    ['ArrowUp', [0, 1], null],
    ['End', [2, 0], [2, 2]],
    ['Home', [0, 2], [0, 1]],
    ['x', [0, 1], null],
  ] as const)('%s from %j leads to %j', (key, [row, column], to) => {
    expect(stepIn(filled, { row, column }, key)).toEqual(to === null ? null : { row: to[0], column: to[1] });
  });

  test('Tab enters at the first figure; a table without any has no stop', () => {
    expect(firstFilled(filled)).toEqual({ row: 0, column: 1 });
    expect(firstFilled([[false]])).toBeNull();
  });
});

describe('how the findings stand', () => {
  const seen = (measured: 'current' | 'stale' | 'never', running = false) => ({
    regions: regions.map((r) => ({ region: r.region, problem: null, measured })),
    job: running
      ? {
          id: 'j',
          ink: 1,
          state: 'running' as const,
          done: 1,
          total: 2,
          what: '',
          measured: 0,
          kept: 0,
          problem: null,
        }
      : null,
  });
  const report = { findings: sampleFindings, problems: [] };
  const nothing = { findings: [], problems: [] };

  test('current, never, measuring, without regions', () => {
    expect(standingOf(seen('current'), report)).toEqual({ is: 'current' });
    expect(standingOf(seen('never'), nothing)).toEqual({ is: 'never' });
    expect(standingOf(seen('never', true), nothing)).toEqual({ is: 'measuring' });
    expect(standingOf({ regions: [], job: null }, nothing)).toEqual({ is: 'no-regions' });
  });

  test('where no region could be measured it was tried: not told as never measured, once the problems are those of now', () => {
    const { regions: all } = seen('never');
    const problems = all.map(({ region: { id } }) => ({ region: id, message: 'its scan has no colour' }));
    const cannot = all.map((r) => ({ ...r, problem: 'its scan has no colour' }));
    expect(standingOf({ regions: cannot, job: null }, { findings: [], problems })).toEqual({ is: 'current' });
    const others = problems.map(({ message }, i) => ({ region: `gone-${i}`, message }));
    expect(standingOf({ regions: all, job: null }, { findings: [], problems: others })).toEqual({ is: 'never' });
  });

  test('stale names what changed and what is new, but nothing that cannot be measured', () => {
    const { regions: all } = seen('current');
    const changed = all.map((r, i) =>
      i === 1 ? { ...r, measured: 'stale' as const } : i === 2 ? { ...r, measured: 'never' as const } : r,
    );
    const standing = standingOf({ regions: changed, job: null }, report);
    expect(standing).toEqual({ is: 'stale', regions: ['ef-white'], missing: ['m-white'] });
    expect(staleWords({ is: 'stale', regions: ['ef-white'], missing: ['m-white'] })).toBe(
      'Changed since it was measured: ef-white. Not measured yet: m-white.',
    );
    const cannot = changed.map((r) => (r.measured === 'never' ? { ...r, problem: 'its scan is gone' } : r));
    expect(standingOf({ regions: cannot, job: null }, report)).toMatchObject({ missing: [] });
  });

  test('names in a row', () => {
    expect([listed(['a']), listed(['a', 'b']), listed(['a', 'b', 'c']), listed(['a', 'b', 'c', 'd'], 3)]).toEqual([
      'a',
      'a and b',
      'a, b and c',
      'a, b and 2 more',
    ]);
  });

  test('only problems of regions without a cell stand apart from the tables', () => {
    const bar = { ...regions[0], region: { ...region('ef-white'), id: 'bar', kind: 'bar' as const } };
    const work = {
      regions: [...seen('current').regions, { region: bar.region, problem: null, measured: 'never' as const }],
    };
    const problems = ['bar', 'ef-white', 'gone'].map((id) => ({ region: id, message: 'x' }));
    expect(problemsWithoutCell(work, { problems }).map((p) => p.region)).toEqual(['bar']);
  });

  test('the words’ limits are printed with them', () => {
    expect(limitWords([of('shading(ef-white)').finding])).toMatch(/none below 1, .* strong from 5/);
    expect(limitWords([{ ...of('shading(ef-white)').finding, limits: [2, 4] }])).toContain('2, 4');
    expect(limitWords([of('paperColour(bare-white)').finding, of('bandShare(fresh)#1').finding])).toBe('');
  });
});
