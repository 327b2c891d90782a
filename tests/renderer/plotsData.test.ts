/** What plots show, before it is drawn. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { abPlaneData, ellipseOf, type AbPoint } from '../../renderer/plots/abPlaneData.ts';
import { ellipseOutline } from '../../renderer/plots/abPlaneSvg.ts';
import { abKey, abSummary, abTable } from '../../renderer/plots/AbPlane.tsx';
import { equalScales, extentOf } from '../../renderer/plots/equalScales.ts';
import { lightnessTable } from '../../renderer/plots/LightnessPlot.tsx';
import { histogramSteps, lightnessCurves } from '../../renderer/plots/lightnessData.ts';
import { bulkOf, outlineOf, shareAt } from '../../renderer/plots/lightnessSvg.ts';
import { boxOf, leftOutNames, placeLabels } from '../../renderer/plots/placeLabels.ts';
import { csvText, tabText } from '../../renderer/look/spreadsheet.ts';
import { tableFields } from '../../renderer/plots/PlotTable.tsx';
import { hasRF, stripPlotData } from '../../renderer/plots/stripData.ts';
import { stripSummary } from '../../renderer/plots/StripPlot.tsx';
import { thinned } from '../../renderer/plots/stripSvg.ts';
import { details, inkDetail, stripDetail, traced, work } from './plotsSample.ts';

const report = { findings: traced };

describe('the a*b* plane', () => {
  const all = abPlaneData(work, report, details, { bands: false });

  test('holds papers, nibs and swabs, and bands when asked', () => {
    const count = (kind: AbPoint['kind'], of = all) => of.points.filter((point) => point.kind === kind).length;
    expect([count('paper'), count('nib'), count('swab'), count('band')]).toEqual([2, 6, 4, 0]);
    expect(count('band', abPlaneData(work, report, details, { bands: true }))).toBe(6);
  });

  test('leads from the thin nib to the thick one on each paper', () => {
    const ways = all.paths.filter(({ kind }) => kind === 'nibs');
    expect(ways.map(({ paper }) => paper)).toEqual(['bright white, smooth', 'yellow, dyed']);
    expect(ways[0].through.map(([L]) => Math.round(L))).toEqual([45, 35, 30]);
    const turned = { ...work, regions: [...work.regions].reverse() };
    const again = abPlaneData(turned, { findings: [...traced].reverse() }, details, { bands: false });
    expect(again.paths.find(({ paper }) => paper === 'bright white, smooth')?.through).toEqual(ways[0].through);
  });

  test('runs from the light to the dark tenth where they are known', () => {
    const ends = all.paths.filter(({ kind }) => kind === 'ends');
    expect(ends).toHaveLength(2);
    expect(ends[0].through.map(([L]) => L)).toEqual([49, expect.closeTo(44.86), 41]);
  });

  test('narrowed to some regions it keeps their papers', () => {
    const some = abPlaneData(work, report, details, { bands: false, only: ['b-white', 'b-yellow'] });
    expect(some.points.map(({ region }) => region)).toEqual(['bare-white', 'b-white', 'bare-yellow', 'b-yellow']);
    const one = abPlaneData(work, report, details, { bands: false, only: ['b-white'] });
    expect(one.points.map(({ region }) => region)).toEqual(['bare-white', 'b-white']);
  });

  test('strikes out a sample that left the ink’s own path, and leads the arrows past it', () => {
    const odd = {
      ...traced[0],
      key: 'pathDistance(m-white)',
      finding: {
        ...traced[0].finding,
        quantity: 'pathDistance' as const,
        subject: { regions: ['m-white'] },
        value: 6.1,
        flags: ['another-ink' as const],
      },
    };
    const struck = abPlaneData(work, { findings: [...traced, odd] }, details, { bands: false });
    expect(struck.points.flatMap(({ region, odd: is }) => (is ? [region] : []))).toEqual(['m-white']);
    expect(struck.points.find((point) => point.odd)?.label).toBe('medium, bright white: another ink?');
    expect(struck.paths.find(({ kind }) => kind === 'nibs')?.through.map(([L]) => Math.round(L))).toEqual([45, 30]);
    expect(abKey(struck)).toContain('another ink or contaminated?');
    const within = { ...odd, finding: { ...odd.finding, flags: [] } };
    expect(abPlaneData(work, { findings: [...traced, within] }, details, { bands: false }).points).toEqual(all.points);
  });

  test('is told in a sentence, a key and a table', () => {
    expect(abSummary(all)).toMatch(/^The a\*b\* plane with 2 papers, 6 nibs and 4 swabs: .*broad, yellow at 9, −14/);
    expect(abKey(all)).toMatch(
      /^Squares are papers, discs are nibs and triangles are swabs; thin rings are ± 2u\. Arrows/,
    );
    expect(abTable(all).rows[0]).toEqual(['bright white, smooth', 'paper', '94.5', '−0.2', '0.8', '0.4', '0.5', '0.6']);
  });
});

describe('the ellipse of ± 2u', () => {
  test('has twice the standard uncertainties of a* and b* as half-axes', () => {
    expect(ellipseOf({ u: [9, 1.5, 2] })).toEqual({ twoUL: 18, twoUA: 3, twoUB: 4 });
    expect(ellipseOf({ u: null })).toEqual({ twoUL: 0, twoUA: 0, twoUB: 0 });
    const outline = ellipseOutline({
      key: '',
      region: '',
      kind: 'nib',
      label: '',
      lab: [50, 10, -20],
      twoUL: 1,
      twoUA: 3,
      twoUB: 4,
      odd: false,
    });
    expect(extentOf(outline.map(({ a }) => a))).toEqual({ low: expect.closeTo(7), high: expect.closeTo(13) });
    expect(extentOf(outline.map(({ b }) => b))).toEqual({ low: expect.closeTo(-24), high: expect.closeTo(-16) });
    expect(outline[0].a).toBeCloseTo(outline[outline.length - 1].a);
    for (const { a, b } of outline) expect(((a - 10) / 3) ** 2 + ((b + 20) / 4) ** 2).toBeCloseTo(1);
  });
});

describe('equal scales', () => {
  const range = fc.tuple(fc.double({ min: -80, max: 80, noNaN: true }), fc.double({ min: 0, max: 90, noNaN: true }));
  const frame = fc.record({
    left: fc.integer({ min: 0, max: 60 }),
    top: fc.integer({ min: 0, max: 30 }),
    right: fc.integer({ min: 200, max: 1200 }),
    bottom: fc.integer({ min: 150, max: 900 }),
  });

  test('a unit across is a unit up, and all that was asked for is in the field', () => {
    fc.assert(
      fc.property(range, range, frame, ([x, w], [y, h], field) => {
        const scales = equalScales({ low: x, high: x + w }, { low: y, high: y + h }, field);
        expect(scales.toX(x + 1) - scales.toX(x)).toBeCloseTo(scales.toY(y) - scales.toY(y + 1), 6);
        for (const px of [scales.toX(x), scales.toX(x + w)]) {
          expect(px).toBeGreaterThanOrEqual(field.left - 1e-6);
          expect(px).toBeLessThanOrEqual(field.right + 1e-6);
        }
        for (const px of [scales.toY(y), scales.toY(y + h)]) {
          expect(px).toBeGreaterThanOrEqual(field.top - 1e-6);
          expect(px).toBeLessThanOrEqual(field.bottom + 1e-6);
        }
      }),
      { seed: 3 },
    );
  });

  test('one point alone is shown with its surroundings', () => {
    const field = { left: 0, top: 0, right: 400, bottom: 200 };
    const scales = equalScales(extentOf([5]), extentOf([7]), field);
    expect(scales.y.high - scales.y.low).toBeCloseTo(20);
    expect(scales.x.high - scales.x.low).toBeCloseTo(40);
  });
});

describe('labels', () => {
  const field = { left: 0, top: 0, right: 500, bottom: 400 };

  test('stay in the field and clear of each other, crowded as their points may be', () => {
    const wishes = [0, 1, 2, 3, 4].map((i) => ({ text: `the nib ${i}`, x: 250 + 4 * i, y: 200 + 3 * i, radius: 7 }));
    const boxes = placeLabels(wishes, field, 13).map(boxOf);
    expect(boxes).toHaveLength(5);
    for (const [i, a] of boxes.entries()) {
      expect(a.left).toBeGreaterThanOrEqual(field.left);
      expect(a.right).toBeLessThanOrEqual(field.right);
      for (const b of boxes.slice(i + 1)) {
        const apart = a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top;
        expect(apart).toBe(true);
      }
    }
  });

  test('a point at the right edge gets its label on the left, one by itself on the right', () => {
    const [edge, alone] = placeLabels(
      [
        { text: 'extra-fine', x: 495, y: 50, radius: 5 },
        { text: 'broad', x: 100, y: 300, radius: 5 },
      ],
      field,
      13,
    );
    expect(edge.left + edge.width).toBeLessThan(495);
    expect(alone.left).toBeGreaterThan(100);
    expect(alone.led).toBe(false);
  });

  test('of a heap those are left out that would cover others, papers last, and the plot says so', () => {
    const heap = Array.from({ length: 60 }, (_, i) => ({
      text: `the medium nib on paper ${i}`,
      x: 250 + (i % 8),
      y: 200 + Math.floor(i / 8),
      radius: 7,
      first: i === 59,
    }));
    const kept = placeLabels(heap, field, 13);
    expect(kept.length).toBeGreaterThan(5);
    expect(kept.length).toBeLessThan(60);
    expect(kept.map(({ text }) => text)).toContain('the medium nib on paper 59');
    const boxes = kept.map(boxOf);
    for (const [i, a] of boxes.entries()) {
      for (const b of boxes.slice(i + 1)) {
        expect(a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top).toBe(true);
      }
    }
    expect([leftOutNames(12), leftOutNames(60)]).toEqual(['', expect.stringContaining('the table has all')]);
  });

  test('keep clear of what else is drawn, with a line where they had to move far', () => {
    const others = Array.from({ length: 100 }, (_, i) => {
      const [x, y] = [210 + 8 * (i % 10), 160 + 8 * Math.floor(i / 10)];
      return { left: x, top: y, right: x + 7, bottom: y + 7 };
    });
    const [label] = placeLabels([{ text: 'C71', x: 250, y: 200, radius: 4 }], field, 13, 'beside', others);
    const box = boxOf(label);
    for (const one of others) {
      expect(box.right <= one.left || one.right <= box.left || box.bottom <= one.top || one.bottom <= box.top).toBe(
        true,
      );
    }
    expect(label.led).toBe(true);
  });

  test('keep their points’ order', () => {
    const texts = placeLabels(
      [1, 2, 3].map((i) => ({ text: `${i}`, x: 90 * i, y: 40, radius: 3 })),
      field,
      13,
    );
    expect(texts.map(({ text }) => text)).toEqual(['1', '2', '3']);
  });
});

describe('steps of lightness', () => {
  test('two bins of half a unit make one of a unit, as shares of all pixels', () => {
    const steps = histogramSteps({ firstL: 40, stepL: 0.5, counts: [1, 1, 4, 2] }, 1);
    expect(steps).toEqual([
      { L: 40, share: 25 },
      { L: 41, share: 75 },
      { L: 42, share: 0 },
    ]);
  });

  test('a bin across a border is split in proportion', () => {
    const steps = histogramSteps({ firstL: 39.75, stepL: 0.5, counts: [4] }, 1);
    expect(steps.map(({ share }) => share)).toEqual([50, 50, 0]);
  });

  test('add up to all the ink, whatever the bins', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 500 }), { minLength: 1, maxLength: 60 }),
        fc.double({ min: 0, max: 60, noNaN: true }),
        fc.constantFrom(0.1, 0.25, 0.5, 1, 2.5),
        (counts, firstL, stepL) => {
          fc.pre(counts.some((n) => n > 0));
          const steps = histogramSteps({ firstL, stepL, counts }, 1);
          const sum = steps.reduce((all, { L, share }, i) => all + share * ((steps[i + 1]?.L ?? L) - L), 0);
          expect(sum).toBeCloseTo(100, 6);
        },
      ),
      { seed: 5 },
    );
  });

  test('nothing counted shows nothing', () => {
    expect(histogramSteps({ firstL: 0, stepL: 0.5, counts: [0, 0] }, 1)).toEqual([]);
    expect(histogramSteps({ firstL: 0, stepL: 0.5, counts: [] }, 1)).toEqual([]);
    expect(lightnessCurves(work, {}, ['ef-white'])).toEqual([]);
  });

  test('the outline rises from the baseline, steps at right angles and returns', () => {
    const outline = outlineOf({ steps: histogramSteps({ firstL: 40, stepL: 1, counts: [1, 3] }, 1) });
    expect(outline).toEqual([
      { L: 40, share: 0 },
      { L: 40, share: 25 },
      { L: 41, share: 25 },
      { L: 41, share: 75 },
      { L: 42, share: 75 },
      { L: 42, share: 0 },
    ]);
    expect(outlineOf({ steps: [] })).toEqual([]);
  });

  test('a stray pixel does not stretch the axis', () => {
    const [curve] = lightnessCurves(work, details, ['ef-white']);
    expect(curve.steps[curve.steps.length - 1].L).toBe(50);
    const counts = [...inkDetail.lightness.counts.map((n) => 100 * n), ...Array.from({ length: 40 }, () => 0), 1];
    const steps = histogramSteps({ ...inkDetail.lightness, counts }, 1);
    expect(steps[steps.length - 1].L).toBeGreaterThan(65);
    expect(bulkOf({ steps })[1]).toBeLessThan(51);
  });

  test('a place’s share is that of its step', () => {
    const steps = histogramSteps({ firstL: 40, stepL: 1, counts: [1, 3] }, 1);
    expect([39, 40.5, 41, 43].map((L) => shareAt({ steps }, L))).toEqual([0, 25, 75, 0]);
  });

  test('as a table each lightness bears its ± 2u, or says that none is known', () => {
    const doubt = { ink: [0.21, 1, 1], dark: [0.4, 1, 1] } as const;
    const doubted = { ...details, 'ef-white': { ...details['ef-white'], doubt } };
    const { columns, rows } = lightnessTable(lightnessCurves(work, doubted, ['ef-white']));
    expect(columns.slice(1, 3)).toEqual(['L* mean', '± 2u, L* mean']);
    expect([rows[0][2], rows[0][4], rows[0][6]]).toEqual(['0.4', '0.8', '?']);
  });

  test('curves carry the nib’s name, and the paper’s where there are several', () => {
    const two = { ...details, 'ef-yellow': { ...details['ef-white'], region: 'ef-yellow' } };
    expect(lightnessCurves(work, two, ['ef-white', 'b-white']).map(({ label }) => label)).toEqual([
      'extra-fine',
      'broad',
    ]);
    expect(lightnessCurves(work, two, ['ef-white', 'ef-yellow']).map(({ label }) => label)).toEqual([
      'extra-fine, bright white',
      'extra-fine, yellow',
    ]);
  });
});

describe('a strip', () => {
  test('by R_F runs from 0 at the origin to 1 at the front', () => {
    const data = stripPlotData(stripDetail, 'rF');
    expect([data.along, data.origin, data.front]).toEqual(['rF', 0, 1]);
    expect(data.bands.map(({ centre }) => centre)).toEqual([0.2, 0.8]);
    expect(data.from).toBeCloseTo(-0.1);
    expect(data.to).toBeCloseTo(1.1);
    expect(data.curves[0].points.map(({ measured }) => measured)).toEqual([0, 0.3, 0.05, 0.01, 0.9, 0, 0]);
    for (const band of data.bands) expect(band.from).toBeLessThan(band.to);
  });

  test('by mm counts from the origin in the direction of travel', () => {
    const data = stripPlotData(stripDetail, 'mm');
    expect([data.origin, data.front, data.bands[0].centre]).toEqual([0, 60, 12]);
    const down = stripPlotData({ ...stripDetail, travel: 'down', originMm: 20, frontMm: 80 }, 'mm');
    expect([down.origin, down.front]).toEqual([0, 60]);
  });

  test('without origin or front it is told by mm', () => {
    const lost = { ...stripDetail, originMm: null };
    expect(hasRF(lost)).toBe(false);
    const data = stripPlotData(lost, 'rF');
    expect([data.along, data.origin, data.front, data.from]).toEqual(['mm', null, 20, 14]);
    expect(stripSummary({ ...lost, bands: [] }, 'a')).toBe(
      'Absorbance along the strip “a” without a known origin and front: no bands.',
    );
  });

  test('its bands are told in a sentence', () => {
    expect(stripSummary(stripDetail, 'fresh')).toBe(
      'Absorbance along the strip “fresh”: band 1 at R_F 0.20 with 20 %; band 2 at R_F 0.80 with 70 %.',
    );
  });

  test('marks are thinned, never lines', () => {
    expect(thinned([1, 2, 3], 3)).toEqual([1, 2, 3]);
    expect(thinned(Array.from({ length: 300 }, (_, i) => i)).length).toBeLessThanOrEqual(120);
  });
});

test('a table is copied with its figures as numbers, and nothing that a spreadsheet would run', () => {
  const rows = tableFields({
    columns: ['what', 'b*'],
    rows: [
      ['white, smooth', '−20.5'],
      ['=1+1', '3.0'],
      ['a "b"', '?'],
    ],
  });
  expect(csvText(rows)).toBe('what,b*\n"white, smooth",-20.5\n\'=1+1,3\n"a ""b""",?\n');
  expect(tabText(rows)).toBe('what\tb*\nwhite, smooth\t-20.5\n\'=1+1\t3\n"a ""b"""\t?\n');
});
