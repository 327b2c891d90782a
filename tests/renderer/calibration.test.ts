/** The report card's page: its table, its plots and its marks, as data and as pictures. */
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import type { ReportPatch } from '../../electron/backend/api.ts';
import { arrowsData, arrowsKey, arrowsSummary, arrowsTable } from '../../renderer/calibration/arrowsData.ts';
import { arrowsSvg } from '../../renderer/calibration/arrowsSvg.ts';
import { scanWithTarget } from '../../renderer/calibration/scanWithTarget.ts';
import { lightCells, lightReach, lightSummary, lightTable, percentText } from '../../renderer/calibration/lightData.ts';
import { lightSvg } from '../../renderer/calibration/lightSvg.ts';
import {
  departureReach,
  greyDepartures,
  neutralitySummary,
  neutralityTable,
} from '../../renderer/calibration/neutralityData.ts';
import { neutralitySvg } from '../../renderer/calibration/neutralitySvg.ts';
import {
  driftTable,
  figureTable,
  modelTable,
  nextSort,
  patchSentence,
  doubtOfPatches,
  patchTable,
  sortedPatches,
  steppedPatch,
  WORST_FIRST,
  worstOf,
} from '../../renderer/calibration/patchOrder.ts';
import {
  crossesOf,
  outlinesOf,
  patchAt,
  patchBox,
  readPartsOf,
  targetAt,
} from '../../renderer/calibration/patchPlaces.ts';
import { residualData, residualSummary, residualTable } from '../../renderer/calibration/residualData.ts';
import { residualSvg, stepsOf } from '../../renderer/calibration/residualSvg.ts';
import { filePaint, type Surface } from '../../renderer/plots/paint.ts';
import { csvText } from '../../renderer/look/spreadsheet.ts';
import { tableFields } from '../../renderer/plots/PlotTable.tsx';
import { standaloneSvg } from '../../renderer/plots/standaloneSvg.ts';
import { earlier, mapBefore, reportWith } from '../findings/madeUpReport.ts';
import { outsideReferences } from './outsideReferences.ts';
import { plotsDocument } from './plotsDocument.ts';

const flatField = {
  coefficients: [
    [1, 0.02, 0, 0, 0, 0],
    [1, 0, 0, 0, 0, 0],
    [1, 0, -0.01, 0, 0, 0],
  ],
  centreMm: [25, 15],
  halfMm: [25, 15],
  residual: 0.001,
} as const;
const report = reportWith({ earlier: [{ ...earlier, map: mapBefore([1.02, 1.02, 1.02]) }] }, { flatField });
const { patches } = report;
const ids = (some: readonly Pick<ReportPatch, 'id'>[]): string => some.map(({ id }) => id).join(' ');
const flagged = (flag: 'clipped' | 'covered', ...which: readonly string[]): readonly ReportPatch[] =>
  patches.map((p) => (which.includes(p.id) ? { ...p, flags: [flag], notes: [flag] } : p));

describe('the table', () => {
  test('the worst first, and any other way', () => {
    expect(ids(sortedPatches(patches, WORST_FIRST))).toBe('P6 P5 P4 P3 P2 P1');
    expect(ids(sortedPatches(patches, { by: 'patch', down: false }))).toBe('P1 P2 P3 P4 P5 P6');
    expect(ids(sortedPatches(patches, { by: 'patch', down: true }))).toBe('P6 P5 P4 P3 P2 P1');
    expect(ids(sortedPatches(patches, { by: 'fitted', down: false }))).toBe('P1 P2 P3 P4 P5 P6');
    expect(ids(sortedPatches(flagged('clipped', 'P3'), { by: 'notes', down: true }))).toBe('P3 P1 P2 P4 P5 P6');
  });

  test('pressing a heading sorts by it, pressing it again turns it round', () => {
    expect(nextSort(WORST_FIRST, 'leftOut')).toEqual({ by: 'leftOut', down: false });
    expect(nextSort(WORST_FIRST, 'fitted')).toEqual({ by: 'fitted', down: true });
    expect(nextSort(WORST_FIRST, 'patch')).toEqual({ by: 'patch', down: false });
  });

  test('stepping goes round its ends', () => {
    expect([steppedPatch(patches, null, 1), steppedPatch(patches, null, -1)]).toEqual(['P1', 'P6']);
    expect([steppedPatch(patches, 'P6', 1), steppedPatch(patches, 'P1', -1)]).toEqual(['P1', 'P6']);
    expect(steppedPatch(patches, 'P2', 1)).toBe('P3');
    expect(steppedPatch([], null, 1)).toBeNull();
  });

  test('five are named as the worst, none that was left out of the fit', () => {
    expect(ids(worstOf(patches))).toBe('P6 P5 P4 P3 P2');
    expect(ids(worstOf(flagged('covered', 'P6', 'P4')))).toBe('P5 P3 P2 P1');
  });

  test('copied with all that is known', () => {
    const csv = csvText(tableFields(patchTable(patches)))
      .trimEnd()
      .split('\n');
    expect(csv[0]).toBe(
      'patch,ΔE00 left out,ΔE00 fitted,L* reference,a* reference,b* reference,"L* measured, left out","a* measured, left out",' +
        '"b* measured, left out","L* measured, fitted","a* measured, fitted","b* measured, fitted","red as scanned, %",' +
        '"green as scanned, %","blue as scanned, %","clipped, %",notes',
    );
    expect(csv[1]).toBe('P1,0.2,0.1,90,0,0,91,0.5,-0.5,90,0.5,-0.25,90,90,90,0,');
    expect(csv).toHaveLength(7);
    const known = patches.map((p, i) => ({ ...p, referenceU: i === 0 ? ([0.1, 0.2, 0.3] as const) : null }));
    expect(patchTable(known).columns).toContain('a* reference ± 2u');
    expect(patchTable(known).rows.map((row) => row[8])).toEqual(['0.40', '', '', '', '', '']);
    // A light grey's L* weighs 0.6 in ΔE00, its chroma 1.5 in a* and 1 in b*.
    expect(patchTable(known).rows[0][3]).toBe('0.86');
    expect(patchSentence(known[0], known)).toMatch(/^P1 is told 0\.2 ± 0\.9 ΔE00 off/);
    expect([doubtOfPatches(known), doubtOfPatches(patches)]).toEqual([
      expect.stringMatching(/^± 2u is of the known values/),
      expect.stringMatching(/does not say how sure/),
    ]);
  });
});

describe('a patch in words', () => {
  test('how far off, which way, and its rank', () => {
    expect(patchSentence(patches[5], patches)).toBe(
      'P6 is told 1.2 ΔE00 off by a fit that never saw it, 1.0 lighter, 2.0 redder, 0.5 bluer: the furthest of 6.',
    );
    expect(patchSentence(patches[0], patches)).toContain('the nearest of 6');
    expect(patchSentence(patches[2], patches)).toContain('number 4 of 6');
  });
  test('left out of every fit', () => {
    const [, second] = flagged('covered', 'P2');
    expect(patchSentence(second, patches)).toBe('P2 was left out of every fit; the calibration tells it 0.4 ΔE00 off.');
  });
});

describe('figures as tables', () => {
  test('left out and fitted side by side', () => {
    expect(figureTable(report).rows).toEqual([
      ['median', '0.70', '0.35'],
      ['mean', '0.70', '0.35'],
      ['95 % lie below', '1.15', '0.58'],
      ['largest', '1.20', '0.60'],
    ]);
  });
  test('models, the chosen one marked', () => {
    expect(modelTable(report).rows).toEqual([
      ['root polynomial, degree 2', '0.001', '0.66', '0.06', ''],
      ['3 × 3 matrix', 'none', '0.70', '0.07', 'taken'],
    ]);
  });
  test('drift', () => {
    const [row] = driftTable(report).rows;
    expect([row[0], ...row.slice(3)]).toEqual(['2026-05-03 may.tif', '2.0', '2.0', '2.0']);
    const changed = reportWith({ earlier: [{ ...earlier, kind: { ...earlier.kind, bits: 8 } }] });
    expect(driftTable(changed).rows).toEqual([['2026-05-03 may.tif', 'settings changed', '', '', '', '']]);
    expect(driftTable(reportWith({})).rows).toEqual([]);
  });
});

describe('where colours go', () => {
  test('arrows are drawn as long as there is room for', () => {
    const { arrows, times } = arrowsData(patches);
    // 2.06 at most of a span of 20: once.
    expect(times).toBe(1);
    expect(arrows[5]).toMatchObject({ id: 'P6', from: [40, 20, 0], to: [41, 22, -0.5], named: true });
    expect(arrowsKey({ arrows, times })).not.toContain('times');
    const calm = patches.map((p) => ({ ...p, leftOut: [p.leftOut[0], p.reference[1] + 0.2, p.reference[2]] as const }));
    const drawn = arrowsData(calm);
    expect(drawn.times).toBe(10);
    expect(drawn.arrows[0].to[1]).toBeCloseTo(2, 9);
    expect(arrowsKey(drawn)).toContain('Drawn 10 times as long as they are.');
  });
  test('the table has them as they are', () => {
    expect(arrowsTable(patches).rows[5]).toEqual(['P6', '20.0', '0.0', '2.0', '−0.5']);
    expect(arrowsSummary(patches)).toContain('Furthest off: P6 by 1.2 ΔE00, P5 by 1.0 ΔE00');
  });
});

describe('neutrality', () => {
  const greys = greyDepartures(patches);
  test('of the greys that were fitted, dark to light', () => {
    expect(greys.map(({ id, L, da, db }) => [id, L, da, db])).toEqual(
      [4, 3, 2, 1].map((i) => [`P${i}`, 100 - 10 * i, 0.5, -0.25]),
    );
    expect(ids(greyDepartures(flagged('clipped', 'P1', 'P3')))).toBe('P4 P2');
    expect(neutralityTable(greys).rows[0]).toEqual(['P4', '60.0', '0.50', '−0.25', '0.56']);
    expect(neutralitySummary(greys)).toContain('How far 4 greys come out');
  });
  test('the axis reaches alike both ways and never zooms into noise', () => {
    expect(departureReach(greys)).toBe(1.5);
    expect(departureReach([{ id: 'G', L: 50, da: -3, db: 0 }])).toBe(3.5);
  });
});

describe('how many miss by how much', () => {
  test('every judged patch is counted once', () => {
    const { bins, median, p95 } = residualData(report);
    expect([median, p95]).toEqual([0.7, 1.15]);
    expect(bins.map(({ leftOut }) => leftOut)).toEqual([0, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1]);
    expect(bins.map(({ fitted }) => fitted).slice(0, 7)).toEqual([0, 1, 1, 1, 1, 1, 1]);
    const fewer = residualData({ ...report, patches: flagged('clipped', 'P1', 'P2') });
    expect(fewer.bins.reduce((sum, { leftOut }) => sum + leftOut, 0)).toBe(4);
  });
  test('wider bins for worse targets: 24 at most, and the last holds the worst', () => {
    const worse = patches.map((p) => ({ ...p, dE00LeftOut: 20 * p.dE00LeftOut }));
    const { bins } = residualData({ ...report, patches: worse });
    expect(bins.length).toBeLessThanOrEqual(25);
    expect(bins.at(-1)?.leftOut).toBe(1);
  });
  test('in words and as a table', () => {
    const data = residualData(report);
    expect(residualSummary(data)).toBe(
      'How far 6 patches are missed by a fit that never saw them: half of them by less than 0.70 ΔE00, 95 % by less than 1.15.',
    );
    expect(residualTable(data).rows[2]).toEqual(['0.20 to 0.30', '1', '1']);
    expect(stepsOf(data.bins.slice(1, 2))).toEqual([
      { x: 0.1, y: 0 },
      { x: 0.1, y: 1 },
      { x: 0.2, y: 1 },
      { x: 0.2, y: 0 },
    ]);
  });
});

describe('light', () => {
  test('cells row by row, channel by channel', () => {
    const { light } = report;
    const cells = light ? lightCells(light) : [];
    expect(cells).toHaveLength(3 * 7 * 5);
    expect(cells[8]).toMatchObject({ channel: 'red', column: 1, row: 1 });
    expect(lightReach(cells)).toBeCloseTo(2, 9);
    expect(light && lightSummary(light)).toBe(
      'The light over the scan, from its darkest to its lightest place: 4.0 % in red, 0.0 % in green, 2.0 % in blue.',
    );
    expect([0.04, -0.04, 0.3, -0.3].map(percentText)).toEqual(['0.0', '0.0', '+0.3', '−0.3']);
    expect(light && lightTable(light).rows.at(-1)).toEqual(['100 % across, 100 % down', '2.00', '0.00', '−1.00']);
  });
});

describe('marks on the scan', () => {
  test('the patch under a point, whichever way round the target lies', () => {
    expect(patchAt(patches, [150, 100])?.id).toBe('P1');
    expect(patchAt(patches, [350, 200])?.id).toBe('P6');
    expect(patchAt(patches, [50, 100])).toBeNull();
    const mirrored = patches.map((p) => ({ ...p, cornersPx: p.cornersPx.toReversed() }));
    expect(patchAt(mirrored, [150, 100])?.id).toBe('P1');
  });
  test('boxes, read parts and outlines', () => {
    expect(
      patchBox({
        cornersPx: [
          [3, 1],
          [5, 2],
          [4, 6],
          [2, 5],
        ],
      }),
    ).toEqual([2, 1, 3, 5]);
    const square = {
      cornersPx: [
        [0, 0],
        [10, 0],
        [10, 10],
        [0, 10],
      ] as const,
    };
    expect(readPartsOf([square])).toEqual([
      {
        cornersPx: [
          [2, 2],
          [8, 2],
          [8, 8],
          [2, 8],
        ],
      },
    ]);
    expect(crossesOf([square])).toBe('M0 0L10 10M10 0L0 10');
    expect(outlinesOf([square, square])).toBe('M0 0L10 0L10 10L0 10ZM0 0L10 0L10 10L0 10Z');
  });
  test('the first look takes in the whole target', () => {
    const { x, y, width } = targetAt(report.target.pointsPx, patches);
    expect([x, y]).toEqual([expect.closeTo(250, 6), expect.closeTo(150, 6)]);
    expect(width).toBeGreaterThan(300);
  });
});

describe('which target when the address names none', () => {
  const target = { scan: 'card', layout: 'a', reference: 'b' };
  const scan = { target: { ...target, scan: 'own' } };
  test('the ink’s own, else the first of a scan’s own, else none', () => {
    expect(scanWithTarget({ target, scans: [] })).toBe('card');
    expect(scanWithTarget(JSON.parse(JSON.stringify({ target: null, scans: [{ target: null }, scan] })))).toBe('own');
    expect(scanWithTarget({ target: null, scans: [] })).toBeNull();
  });
});

const surface: Surface = { width: 600, height: 450, paint: filePaint, document: plotsDocument() };
const PLOTS: Readonly<Record<string, (s: Surface) => SVGSVGElement | HTMLElement>> = {
  arrows: (s) => arrowsSvg(arrowsData(patches), s),
  neutrality: (s) => neutralitySvg(greyDepartures(patches), s),
  residuals: (s) => residualSvg(residualData(report), s),
  light: (s) => lightSvg(report.light ?? expect.fail('no light'), s),
  'arrows of nothing': (s) => arrowsSvg(arrowsData([]), s),
  'residuals of nothing': (s) => residualSvg(residualData({ patches: [], leftOutMedian: null, leftOut95: null }), s),
};

test('an arrow’s light casing is the arrow itself, head and all', () => {
  const svg = arrowsSvg(arrowsData(patches), surface).outerHTML;
  const shafts = [...svg.matchAll(/ d="(M[^"]*L[^"]*M[^"]*L[^"]*L[^"]*)"/g)].map(([, d]) => d);
  const half = shafts.length / 2;
  expect(half).toBeGreaterThan(2);
  expect(shafts.slice(0, half)).toEqual(shafts.slice(half));
});

describe.each(Object.entries(PLOTS))('the plot of %s', (name, build) => {
  const svg = standaloneSvg(build(surface).outerHTML, {
    width: 600,
    height: 450,
    title: name,
    description: 'What it shows.',
    fontFaces: '',
    background: '#ffffff',
  });
  test('draws, and without slips', async () => {
    const { info } = await sharp(Buffer.from(svg)).raw().toBuffer({ resolveWithObject: true });
    expect([info.width, info.height]).toEqual([600, 450]);
    expect(svg).not.toMatch(/undefined|NaN|Infinity/);
    expect(svg).not.toMatch(/<text[^>]*>-\d/);
    expect(outsideReferences(svg)).toEqual([]);
  });
});
