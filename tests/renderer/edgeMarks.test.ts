/** Edges on the scan and across their profile. */
import { describe, expect, test } from 'vitest';
import { INK_MARKS } from '../../analysis/measure/ink.ts';
import { namesOf } from '../../analysis/report/names.ts';
import type { QuantityName } from '../../analysis/quantity.ts';
import { edgePath, hairPath, tellingBox, widthPath } from '../../renderer/findings/marks/edgePaths.ts';
import { countedOf } from '../../renderer/findings/marks/marksRaster.ts';
import { dashInto, LINE } from '../../renderer/findings/marks/outline.ts';
import { signPlaces } from '../../renderer/findings/marks/signPlaces.ts';
import { boxOnScan } from '../../renderer/findings/scan/flight.ts';
import { explaining, inkOverlays } from '../../renderer/findings/scan/overlays.ts';
import { edgeCurves, edgeKey, edgeSummary, edgeTable } from '../../renderer/plots/edgeData.ts';
import { shownColours } from '../../renderer/reading/shownColours.ts';
import { spanOf } from '../../renderer/plots/edgeSvg.ts';
import { plotFor } from '../../renderer/reading/plotFor.ts';
import { edgeDetail } from './edgeSample.ts';
import { detailOf, details, work } from './plotsSample.ts';

const detail = detailOf('m-white', { boxPx: [100.4, 200.8, 400, 100], edge: edgeDetail });

describe('edges on the scan', () => {
  test('lie where the region lies, at fractions of a pixel, broken where they break', () => {
    expect(edgePath(detail, edgeDetail)).toBe('M110 220L130 220.25L150 220M110 230L150 230');
    expect(hairPath(detail, edgeDetail)).toBe('M140 230L142 234');
  });

  test('a width runs from edge to edge, with a tick along each edge', () => {
    const one = { ...edgeDetail, whiskers: [edgeDetail.whiskers[0]] };
    expect(widthPath(detail, one, 2)).toBe('M115 220L115 230M117 220L113 220M117 230L113 230');
  });

  test('no edges, no paths', () => {
    const none = { edges: [], whiskers: [], hairs: [], halo: null, profile: null };
    expect([edgePath(detail, none), widthPath(detail, none, 2), hairPath(detail, none)]).toEqual(['', '', '']);
  });

  test('what is looked at closely is about a middling width, of feathering about the longest hair', () => {
    expect(tellingBox(detail, 'lineWidth', 100)).toEqual([65, 175, 100, 100]);
    expect(tellingBox(detail, 'feathering', 100)).toEqual([91, 182, 100, 100]);
    expect(tellingBox({ ...detail, edge: null }, 'lineWidth', 100)).toBeNull();
  });

  test('a finding of edges brings the scan there, any other its region whole', () => {
    const region = { id: 'm-white', scan: 'white', kind: 'strokes' as const, boxMm: [10, 20, 40, 10] as const };
    const scan = { id: 'white', dpi: 254 };
    const held = { 'm-white': detail };
    const place = { size: { width: 600, height: 400 } };
    expect(boxOnScan(scan, [{ ...region, boxMm: [10, 20, 40, 10] }], held, place)).toEqual([100, 200, 400, 100]);
    const close = boxOnScan(scan, [{ ...region, boxMm: [10, 20, 40, 10] }], held, place, 'lineWidth');
    expect(close?.[2]).toBeCloseTo(90, 6);
    expect(close?.[0]).toBeCloseTo(115 - 45, 6);
  });
});

describe('marks that explain what is chosen', () => {
  const on = (quantity: QuantityName | null): string[] =>
    Object.entries(explaining(quantity)).flatMap(([name, shown]) => (shown ? [name] : []));

  test.each<[QuantityName | null, readonly string[]]>([
    [null, ['boxes', 'strips', 'counted', 'dark', 'light', 'doubleLayer']],
    ['shading', ['boxes', 'strips', 'counted', 'dark', 'light', 'doubleLayer']],
    ['layering', ['boxes', 'strips', 'counted', 'dark', 'light', 'doubleLayer']],
    ['lineWidth.at60', ['boxes', 'strips', 'edges', 'widths']],
    ['spread', ['boxes', 'strips', 'edges', 'widths']],
    ['feathering.hairs', ['boxes', 'strips', 'edges', 'hairs']],
    ['raggedness', ['boxes', 'strips', 'edges']],
    ['halo.hue', ['boxes', 'strips', 'edges', 'halo']],
    ['sheen', ['boxes', 'strips', 'counted', 'dark', 'light', 'doubleLayer', 'sheen']],
  ])('of %s', (quantity, expected) => {
    expect(on(quantity).toSorted()).toEqual(expected.toSorted());
  });

  test('edges have their switches once they are measured', () => {
    expect(inkOverlays(['shading', 'lineWidth', 'halo'])).toContain('hairs');
    expect(inkOverlays(['shading', 'sheen'])).toEqual(['counted', 'dark', 'light', 'doubleLayer', 'sheen']);
    expect(inkOverlays(['shading'])).toEqual(['counted', 'dark', 'light', 'doubleLayer']);
  });

  test('sheen counts as ink and has signs of its own', () => {
    const { none, counted, sheen, halo, hair } = INK_MARKS;
    expect([...countedOf(Uint8Array.from([none, counted, sheen, halo, hair]))]).toEqual([0, 1, 1, 0, 0]);
    const data = Uint8Array.from({ length: 400 }, (_, i) => (i % 20 < 10 ? sheen : counted));
    const raster = { data, columns: 20, rows: 20, boxPx: [0, 0, 20, 20] as const };
    const places = signPlaces(raster, { leftPx: 0, topPx: 0, pxPerDot: 1, width: 20, height: 20 }, 10);
    expect(places.sheen).toHaveLength(2);
    expect(places.sheen.every(([x]) => x < 10)).toBe(true);
    expect(places.between).toHaveLength(2);
  });

  test('a halo’s rim is dashed and leaves what it encloses free', () => {
    const out = new Uint8Array(40 * 40);
    dashInto(out, (i) => i % 40 >= 10 && i % 40 < 30 && i >= 400 && i < 1200, 40, 40, 4);
    const rim = Array.from({ length: 20 }, (_, k) => out[10 * 40 + 10 + k] === LINE.line);
    expect(rim.filter(Boolean).length).toBeGreaterThan(5);
    expect(rim.filter((is) => !is).length).toBeGreaterThan(5);
    expect(out[20 * 40 + 20]).toBe(LINE.none);
  });
});

test('a halo is laid beside the paper that it lies on', () => {
  const finding = {
    quantity: 'halo.dE' as const,
    subject: { regions: ['m-white'] },
    value: 8,
    u: 0.5,
    unit: 'ΔE00' as const,
    flags: [],
    method: 'halo/1',
  };
  const shown = shownColours(finding, namesOf([]), { 'm-white': detail });
  expect(shown.map(({ label, lab, part }) => [label, lab, part])).toEqual([
    ['Halo', [80, 3, -8], 'halo'],
    ['Paper beyond it', [94, 0, 1], 'paper'],
  ]);
  expect(shownColours(finding, namesOf([]), { 'm-white': { ...detail, edge: { ...edgeDetail, halo: null } } })).toEqual(
    [],
  );
});

describe('the profile across an edge', () => {
  const held = { ...details, 'm-white': detail };

  test('in per cent of the fall, paper first, with what the scanner blurs', () => {
    const [curve, ...more] = edgeCurves(work, held, ['ef-white', 'm-white']);
    expect(more).toEqual([]);
    expect(curve).toMatchObject({ region: 'm-white', label: 'medium', scannedMm: 0.19, scannerMm: 0.086 });
    expect(curve.points.map(({ mm, fall }) => [mm, fall])).toEqual([
      [-0.3, 0],
      [-0.1, 20],
      [0, 50],
      [0.1, 90],
      [0.3, 100],
    ]);
    expect(curve.points[1].fitted).toBeCloseTo(18, 9);
    expect(curve.halo).toEqual({ fromMm: 0, toMm: 0.2, lab: [80, 3, -8] });
  });

  test('shows no more bare paper than lets the edge be seen', () => {
    const [curve] = edgeCurves(work, held, ['m-white']);
    expect(spanOf([curve])).toEqual({ low: -0.3, high: 0.3 });
    const wide = {
      ...curve,
      halo: null,
      points: [{ ...curve.points[0], mm: -1.2 }, { ...curve.points[0], mm: -0.6, fall: 1 }, ...curve.points.slice(1)],
    };
    expect(spanOf([wide]).low).toBeCloseTo(-0.3, 9);
    expect(spanOf([{ ...wide, halo: { fromMm: 0, toMm: 0.5, lab: [80, 0, 0] } }]).low).toBeCloseTo(-0.7, 9);
  });

  test('says in words what it shows', () => {
    const curves = edgeCurves(work, held, ['m-white']);
    expect(edgeKey(curves)).toContain('50 %');
    expect(edgeKey(curves)).toContain('60 %');
    expect(edgeKey(curves)).toContain('0.086 mm');
    expect(edgeSummary(curves)).toContain(
      'medium falls from 10 to 90 % over 0.190 mm as scanned and has a halo out to 0.20 mm',
    );
    expect(edgeTable(curves).rows).toHaveLength(5);
    const acrossEdge = Array.from({ length: 5 }, () => [0.5, 1, 1.5] as const);
    const sure = edgeTable(edgeCurves(work, { 'm-white': { ...detail, doubt: { acrossEdge } } }, ['m-white']));
    expect(sure.columns.slice(-3)).toEqual(['± 2u, L*', '± 2u, a*', '± 2u, b*']);
    expect(sure.rows[4].slice(-3)).toEqual(['1.0', '2.0', '3.0']);
    const unknown = { ...edgeDetail, profile: edgeDetail.profile && { ...edgeDetail.profile, scannerBlurMm: null } };
    expect(edgeKey(edgeCurves(work, { 'm-white': { ...detail, edge: unknown } }, ['m-white']))).toContain('not known');
  });

  test.each<[QuantityName, string]>([
    ['lineWidth', 'edge'],
    ['lineWidth.sd', 'edge'],
    ['spread', 'edge'],
    ['raggedness', 'edge'],
    ['feathering.hairs', 'edge'],
    ['edgeBlur', 'edge'],
    ['halo.dE', 'edge'],
    ['sheen', 'plane'],
    ['layering', 'plane'],
    ['pathDistance', 'plane'],
  ])('explains %s by the plot “%s”', (quantity, plot) => {
    expect(plotFor(quantity)).toBe(plot);
  });
});
