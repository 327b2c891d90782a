/** Targets as a person handles them: four corners in any order, turned, the grid that they span, and which files are proposed. */
import * as fc from 'fast-check';
import { describe, expect, test, vi } from 'vitest';
import type { KnownLayout, KnownReference } from '../../electron/backend/api.ts';
import {
  beginCorners,
  cornerDraft,
  dropCorner,
  leaveCorners,
  moveCorner,
  settleCorners,
  takeCornerBack,
  turnCorners,
} from '../../renderer/scans/cornerDraft.ts';
import { layoutChoices, misfit, proposedFiles, referenceChoices } from '../../renderer/scans/targetChoices.ts';
import { gridAt, inOrder, startingPoints, turned } from '../../renderer/scans/targetCorners.ts';
import { targetWith, whiteSheetFor, withPoint } from '../../renderer/scans/targetsOn.ts';
import type { FourPoints } from '../../renderer/scans/targetsOn.ts';
import { mendingOf } from '../../renderer/scans/targetMending.ts';
import {
  crossedWords,
  locatedWords,
  servesWords,
  uncalibratedWords,
  whiteSheetWords,
} from '../../renderer/scans/targetWords.ts';

fc.configureGlobal({ seed: 4 });

const square: FourPoints = [
  [10, 10],
  [110, 12],
  [108, 70],
  [9, 72],
];

describe('four corners', () => {
  test('start upright in the target’s true size in the middle of what is in view', () => {
    const points = startingPoints(
      [
        [5, 5],
        [65, 5],
        [65, 45],
        [5, 45],
      ],
      10,
      [0, 0, 2000, 1000],
      { widthPx: 1800, heightPx: 2600 },
    );
    expect(points).toEqual([
      [600, 300],
      [1200, 300],
      [1200, 700],
      [600, 700],
    ]);
  });

  test('are smaller where the view or the scan has no room', () => {
    const mm = [
      [0, 0],
      [200, 0],
      [200, 100],
      [0, 100],
    ] as const;
    const points = startingPoints(mm, 10, [-500, -500, 1500, 1000], { widthPx: 4000, heightPx: 4000 });
    const wide = points[1][0] - points[0][0];
    expect(wide).toBeCloseTo(800, 6);
    expect(points[3][1] - points[0][1]).toBeCloseTo(wide / 2, 6);
    // In the part of the view where the scan is.
    expect(points.every(([x, y]) => x >= 0 && y >= 0 && x <= 1000 && y <= 500)).toBe(true);
  });

  test('are clockwise in whatever order they were dragged, and the first stays the first', () => {
    fc.assert(
      fc.property(fc.shuffledSubarray([0, 1, 2, 3], { minLength: 4, maxLength: 4 }), (order) => {
        const [a, b, c, d] = order.map((i) => square[i]);
        const ordered = inOrder([a, b, c, d]);
        const start = order[0];
        expect(ordered).toEqual([0, 1, 2, 3].map((i) => square[(start + i) % 4]));
      }),
    );
  });

  test('that span nothing are refused', () => {
    expect(inOrder([square[0], square[1], square[2], [70, 35]])).toBeNull();
    expect(inOrder([square[0], square[1], [60, 11], square[3]])).toBeNull();
    expect(gridAt({ pointsMm: square, patches: [] }, [square[0], square[0], square[2], square[3]])).toBeNull();
  });

  test('four quarter turns come back, and each is another assignment of the same places', () => {
    const all = [square, turned(square), turned(turned(square)), turned(turned(turned(square)))];
    expect(new Set(all.map((points) => points[0].join()))).toHaveProperty('size', 4);
    expect(all.every((points) => inOrder(points))).toBe(true);
    expect(turned(all[3])).toEqual(square);
  });

  test('draw each patch where they put it, with a middle for its colour', () => {
    const pointsMm = [
      [0, 0],
      [10, 0],
      [10, 10],
      [0, 10],
    ] as const;
    const box = [1, 1, 3, 3] as const;
    const at = gridAt({ pointsMm, patches: [{ id: 'A1', boxMm: box, lab: [50, 0, 0] }] }, [
      [100, 100],
      [200, 100],
      [200, 200],
      [100, 200],
    ]);
    const [patch] = at ?? [];
    const rounded = (points: readonly (readonly [number, number])[]) => points.map((p) => p.map(Math.round));
    expect(rounded(patch.cornersPx)).toEqual([
      [110, 110],
      [140, 110],
      [140, 140],
      [110, 140],
    ]);
    expect(rounded(patch.middlePx)).toEqual([
      [120, 120],
      [130, 120],
      [130, 130],
      [120, 130],
    ]);
  });
});

describe('while they are placed', () => {
  const read = () => cornerDraft(1, 'a');
  const points = () => read()?.points;
  const moved = withPoint(square, 0, [20, 20]);

  test('each gesture is one step, and so are arrow keys on one point; the last step back leaves them', () => {
    beginCorners(1, 'a', square);
    moveCorner(1, 'a', square, 0, [15, 15]);
    moveCorner(1, 'a', square, 0, [20, 20]);
    settleCorners(1, 'a', null);
    for (const x of [21, 22, 23]) {
      moveCorner(1, 'a', square, 0, [x, 20]);
      settleCorners(1, 'a', 'arrows 0');
    }
    turnCorners(1, 'a');
    expect(points()).toEqual(turned(withPoint(square, 0, [23, 20])));
    expect(takeCornerBack(1, 'a')).toBe(true);
    expect(points()?.[0]).toEqual([23, 20]);
    takeCornerBack(1, 'a');
    expect(points()).toEqual(moved);
    takeCornerBack(1, 'a');
    expect(points()).toEqual(square);
    expect(takeCornerBack(1, 'a')).toBe(false);
    expect(read()).toBeNull();
  });

  test('a drag of a found target’s point begins it; given up, nothing was begun', () => {
    moveCorner(1, 'a', square, 0, [20, 20]);
    expect(points()).toEqual(moved);
    dropCorner(1, 'a');
    expect(read()).toBeNull();
    beginCorners(1, 'a', square);
    moveCorner(1, 'a', square, 2, [90, 90]);
    dropCorner(1, 'a');
    expect(points()).toEqual(square);
    leaveCorners(1, 'a');
    expect(read()).toBeNull();
  });
});

test('corners that are being placed outlive a reload of the window, until they are used or left', async () => {
  const kept = new Map<string, string>();
  vi.stubGlobal('sessionStorage', {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => void kept.set(key, value),
    removeItem: (key: string) => void kept.delete(key),
  });
  const loaded = async () => {
    vi.resetModules();
    return import('../../renderer/scans/cornerDraft.ts');
  };
  const before = await loaded();
  before.beginCorners(1, 'a', square);
  before.moveCorner(1, 'a', square, 0, [20, 20]);
  before.settleCorners(1, 'a', null);
  const after = await loaded();
  expect(after.cornerDraft(1, 'a')?.points).toEqual(withPoint(square, 0, [20, 20]));
  expect(after.cornerDraft(1, 'b')).toBeNull();
  after.leaveCorners(1, 'a');
  expect((await loaded()).cornerDraft(1, 'a')).toBeNull();
  expect(kept.size).toBe(0);
  // What another version of the program kept otherwise.
  kept.set('wetline.corners', '[{"key":"1/a","points":[[1,2],[3,4]]},null,{"key":"1/a","points":[1,2,3,4]}]');
  expect((await loaded()).cornerDraft(1, 'a')).toBeNull();
  vi.unstubAllGlobals();
});

describe('files that are proposed', () => {
  const layout = (name: string, from: KnownLayout['from']): KnownLayout => ({
    hash: `layout ${name}`,
    name,
    title: name,
    from,
    patches: 24,
  });
  const reference = (name: string, from: KnownReference['from'], ...fits: string[]): KnownReference => ({
    hash: `reference ${name}`,
    name,
    title: name,
    from,
    patches: 24,
    misfits: Object.fromEntries(
      layouts
        .filter((one) => !fits.includes(one.name))
        .map((one) => [one.hash, `${name}: lacks patches; expected all. Is it this one's?`]),
    ),
  });
  const layouts = [
    layout('own.json', 'brought'),
    layout('sample.json', 'sample'),
    layout('card', 'built-in'),
    layout('iso', 'built-in'),
    layout('chart-4x6', 'built-in'),
  ];
  const own = reference('own.txt', 'brought', 'own.json');
  const sample = reference('sample.txt', 'sample', 'sample.json', 'card');
  const chart = reference('chart-4x6', 'built-in', 'chart-4x6');
  const taught = reference('Card taught 25 Nov 2026', 'taught', 'card', 'sample.json');
  const batch = reference('batch.txt', 'brought', 'iso');
  const nothing = { brought: [], used: [] };

  test('on a new library the small chart, never the invented sample’s target', () => {
    const known = { layouts: layouts.filter(({ from }) => from !== 'brought'), references: [sample, chart] };
    expect(proposedFiles(known, nothing)).toEqual({ layout: 'layout chart-4x6', reference: 'reference chart-4x6' });
  });

  test('the card once it was taught; what came in before what is built in; what the ink has before both', () => {
    const known = { layouts, references: [taught, sample, chart] };
    expect(proposedFiles(known, nothing)).toEqual({
      layout: 'layout card',
      reference: 'reference Card taught 25 Nov 2026',
    });
    const withOwn = { layouts, references: [own, sample, chart] };
    expect(proposedFiles(withOwn, nothing).layout).toBe('layout own.json');
    const used = [{ layout: 'layout chart-4x6', reference: 'reference chart-4x6' }];
    expect(proposedFiles({ layouts, references: [own, taught, chart] }, { brought: [], used })).toEqual(used[0]);
  });

  test('what was just brought before all else, alone or with its layout', () => {
    const known = { layouts, references: [own, batch, taught, sample, chart] };
    expect(proposedFiles(known, { brought: ['reference batch.txt'], used: [] })).toEqual({
      layout: 'layout iso',
      reference: 'reference batch.txt',
    });
    const both = { brought: ['reference sample.txt', 'layout sample.json'], used: [] };
    expect(proposedFiles(known, both)).toEqual({ layout: 'layout sample.json', reference: 'reference sample.txt' });
  });

  test('a card that was never taught has no proposal, though patches of the sample’s target bear the same names', () => {
    const known = { layouts: [layouts[2]], references: [sample, chart] };
    expect(proposedFiles(known, nothing)).toEqual({ layout: 'layout card', reference: null });
  });

  test('of layouts the invented sample’s comes last', () => {
    const ids = layoutChoices(layouts).map(({ id }) => id);
    expect(ids).toEqual(['layout own.json', 'layout card', 'layout iso', 'layout chart-4x6', 'layout sample.json']);
  });

  test('references that do not fit come last, with why', () => {
    const choices = referenceChoices(layouts[4], [own, sample, chart], nothing);
    expect(choices.map(({ id }) => id)).toEqual(['reference chart-4x6', 'reference own.txt', 'reference sample.txt']);
    expect(choices.map(({ note }) => note)).toEqual([
      '24 patches, built in',
      'does not fit: lacks patches',
      'does not fit: lacks patches',
    ]);
    expect(misfit(chart, 'layout chart-4x6')).toBeNull();
  });
});

describe('in words', () => {
  test('which scans a target serves', () => {
    expect(servesWords('two', ['two'])).toBe('It serves the scan “two” alone.');
    expect(servesWords('all', [])).toBe('It serves no scan: each has a target of its own.');
    expect(servesWords('all', ['a'])).toBe('It serves all scans without one of their own: “a”.');
    expect(servesWords('all', ['a', 'b', 'c'])).toBe('It serves all scans without one of their own: “a”, “b” and “c”.');
  });

  test('whose light a white sheet tells', () => {
    const of = { layout: 'l', reference: 'r' };
    const shared = { scan: 'target', ...of, white: 'white' };
    const own = { scan: 'page', ...of, white: 'white' };
    const work = {
      target: shared,
      scans: [
        { id: 'page', target: own },
        { id: 'white', target: null },
      ],
    };
    expect(whiteSheetFor(work, 'white')).toEqual(['target', 'page']);
    expect(whiteSheetFor(work, 'page')).toEqual([]);
    expect(whiteSheetWords(['target', 'page'])).toMatch(/white sheet of the target on “target” and “page”:/);
  });

  test('the worst patches, one or several', () => {
    expect(crossedWords([])).toBe('');
    expect(crossedWords([{ id: '18', dE00LeftOut: 2.84 }])).toMatch(
      /: 18 \(2\.8 ΔE00\), the patch that .* without it /,
    );
    expect(
      crossedWords([
        { id: '1', dE00LeftOut: 9.3 },
        { id: '8', dE00LeftOut: 6.1 },
      ]),
    ).toMatch(/: 1 \(9\.3 ΔE00\), 8 \(6\.1 ΔE00\), the patches that .* without them /);
  });

  test('what mends a refused target', () => {
    expect(mendingOf('target-not-found', false)).toBe('corners');
    expect(mendingOf('other-target', false)).toBe('other-files');
    expect(mendingOf('other-target', true)).toBe('corners');
    expect(mendingOf('white-clipped', false)).toBe('no-white-sheet');
    expect(mendingOf('other-dpi', false)).toBe('resolution');
    expect(mendingOf('patches-too-small', true)).toBe('corners');
  });

  test.each(['target-mirrored', 'dark', 'blank', 'negative', 'no-colour', 'patches-too-small', 'scan-gone', 'closing'])(
    'nothing that is done to the target mends what is “%s”',
    (code) => {
      expect(mendingOf(code, false)).toBeNull();
      expect(mendingOf(code, true)).toBe(code === 'patches-too-small' ? 'corners' : null);
    },
  );

  test('how sure a place is', () => {
    const words = 'by three of its four discs; the fourth is covered';
    expect(locatedWords({ by: 'fiducials', score: 0.9, words })).toBe(`Found ${words}: sure.`);
    expect(locatedWords({ by: 'grid', score: 0.6, words })).toMatch(/fairly sure\. See that every box/);
    expect(locatedWords({ by: 'grid', score: 0.3, words })).toMatch(/not sure\. See/);
    expect(locatedWords({ by: 'person', score: 1, words })).toBe('Its four points are where you put them.');
    expect(locatedWords(null)).toBeNull();
  });

  test('what an uncalibrated scan costs', () => {
    const colours = { key: 'p1', words: '' };
    expect(uncalibratedWords({ colours: { ...colours, by: 'profile' }, icc: 'Flatbed' })).toMatch(/“Flatbed”.*ΔE00/);
    const stated = { ...colours, by: 'profile', stated: 'a gamma of 1.80' } as const;
    expect(uncalibratedWords({ colours: stated, icc: null })).toMatch(/no profile, but states a gamma of 1.80:/);
    expect(uncalibratedWords({ colours: { ...colours, by: 'assumed-srgb' }, icc: null })).toMatch(/taken for sRGB/);
  });

  test('points and white sheet are set and taken away one by one', () => {
    const target = { scan: 's', layout: 'l', reference: 'r' };
    const pointsMm = square;
    const both = targetWith(targetWith(target, { pointsMm }), { white: 'w' });
    expect(both).toEqual({ ...target, pointsMm, white: 'w' });
    expect(targetWith(both, { pointsMm: null })).toEqual({ ...target, white: 'w' });
    expect(targetWith(both, { white: null })).toEqual({ ...target, pointsMm });
  });
});
