/** The strips' page without a browser: its one axis, what a person says of ends and bands, bands joined, what is offered on a scan. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { SheetRegion, TracedFinding } from '../../electron/backend/api.ts';
import type { FoundStrip } from '../../electron/backend/stripAnswers.ts';
import { sheetSchema } from '../../electron/sheet/sheetSchema.ts';
import { filePaint, type Surface } from '../../renderer/plots/paint.ts';
import { offeredStrips, stripRegion } from '../../renderer/scans/stripProposals.ts';
import {
  isHeldAt,
  saidOf,
  saidWords,
  type StripRegion,
  withBandAt,
  withBandsMerged,
  withoutBandAt,
  withoutWord,
} from '../../renderer/strips/bandEdits.ts';
import { bandFigures, bandLabel, isToldAt } from '../../renderer/strips/bandFigures.ts';
import { atOnce } from '../../renderer/plots/inTurn.ts';
import { FIELD_EDGES, laneColours, profileSvg } from '../../renderer/strips/profileSvg.ts';
import {
  panned,
  placing,
  readingOff,
  runAxis,
  viewDomain,
  wholeRun,
  zoomed,
  type RunView,
} from '../../renderer/strips/runAxis.ts';
import { endWords, placeOfRF, rFAt, roomOf, stripEnds } from '../../renderer/strips/stripEnds.ts';
import { joinedBands, runPairs } from '../../renderer/strips/stripPairs.ts';
import { plotsDocument } from './plotsDocument.ts';
import { stripDetail, traced } from './plotsSample.ts';

const fresh: StripRegion = { id: 'fresh', scan: 'strip', kind: 'strip', boxMm: [5, 5, 18, 100], travel: 'up' };

describe('the one axis', () => {
  const up = runAxis([5, 5, 18, 100], 'up');
  const down = runAxis([5, 5, 18, 100], 'down');

  test('the liquid runs to the right, whichever way the box counts', () => {
    expect(viewDomain(up, wholeRun(up))).toEqual([100, 0]);
    expect(viewDomain(down, wholeRun(down))).toEqual([0, 100]);
    expect(runAxis([5, 5, 100, 18], 'left')).toEqual({ lengthMm: 100, falls: true });
    const [origin, front] = [80, 20].map(placing(up, wholeRun(up), 46, 846));
    expect(origin).toBeCloseTo(206, 6);
    expect(front).toBeGreaterThan(origin);
  });

  test('at every zoom and pan px read off give back the millimetres, and nothing beyond the box is shown', () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    const steps = fc.array(fc.tuple(fc.double({ min: 0.2, max: 5, noNaN: true }), share), { maxLength: 8 });
    fc.assert(
      fc.property(steps, share, fc.constantFrom(up, down), (moves, at, axis) => {
        let view: RunView = wholeRun(axis);
        for (const [factor, about] of moves) {
          view = zoomed(axis, view, factor, view.from + about * (view.to - view.from));
          view = panned(axis, view, 30 * (about - 0.5));
        }
        expect(view.from).toBeGreaterThanOrEqual(-1e-9);
        expect(view.to).toBeLessThanOrEqual(100 + 1e-9);
        expect(view.to - view.from).toBeGreaterThan(4.99);
        const mm = 100 * at;
        expect(readingOff(axis, view, 46, 846)(placing(axis, view, 46, 846)(mm))).toBeCloseTo(mm, 6);
      }),
      { numRuns: 60 },
    );
  });

  test('zooming keeps the place under the pointer', () => {
    const view = zoomed(down, { from: 20, to: 80 }, 2, 35);
    expect(view.to - view.from).toBeCloseTo(30, 9);
    expect(placing(down, view, 0, 800)(35)).toBeCloseTo(placing(down, { from: 20, to: 80 }, 0, 800)(35), 6);
  });

  test('the profile’s field begins and ends where the picture does, and its marks stand at their millimetres', () => {
    const surface: Surface = { width: 860, height: 400, paint: filePaint, document: plotsDocument() };
    const view = { from: 10, to: 60 };
    const data = { strip: stripDetail, domain: viewDomain(up, view), chosenBand: 1 };
    const svg = atOnce(profileSvg(data, surface)).outerHTML;
    expect(svg).not.toMatch(/undefined|NaN|Infinity/);
    const toX = placing(up, view, FIELD_EDGES.left, 860 - FIELD_EDGES.right);
    // The first band's half-height span, as the plot draws it.
    const [left, right] = [toX(73), toX(62)];
    const rects = [...svg.matchAll(/<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"/g)].map(([, x, w]) => [
      Number(x),
      Number(w),
    ]);
    expect(rects.some(([x, w]) => Math.abs(x - left) < 1 && Math.abs(x + w - right) < 1)).toBe(true);
  });

  test('the lane’s colours leave no gap', () => {
    const parts = laneColours(stripDetail);
    parts.slice(1).forEach(({ fromMm }, i) => expect(fromMm).toBeCloseTo(parts[i].toMm, 9));
    expect(parts[2].lab).toEqual(stripDetail.lab[2]);
  });
});

describe('origin and front', () => {
  test('what is given stands before what was found, and says so', () => {
    const ends = stripEnds({ ...fresh, originMm: 81 }, stripDetail);
    expect(ends).toEqual([
      { line: 'origin', mm: 81, by: 'given' },
      { line: 'front', mm: 20, by: 'found' },
    ]);
    expect(ends.map((end) => endWords(end, 'up'))).toEqual([
      'Origin 81.00 mm from the box’s top edge, given',
      'Front 20.00 mm from the box’s top edge, found',
    ]);
    expect(stripEnds(fresh, null).map(({ by }) => by)).toEqual(['nobody', 'nobody']);
  });

  test('neither end passes the other, and one alone goes anywhere', () => {
    const ends = stripEnds({ ...fresh, originMm: 81, frontMm: 12 }, null);
    expect(ends.map((end) => roomOf(end, ends, 100))).toEqual([
      [13, 100],
      [0, 80],
    ]);
    const alone = stripEnds({ ...fresh, originMm: 81 }, null);
    expect(roomOf(alone[0], alone, 100)).toEqual([0, 100]);
  });

  test('R_F of a place and back', () => {
    const ends = stripEnds(fresh, stripDetail);
    expect(rFAt(ends, 50)).toBeCloseTo(0.5, 9);
    expect(placeOfRF(ends, 0.5)).toBeCloseTo(50, 9);
    expect(rFAt(stripEnds(fresh, null), 50)).toBeNull();
  });
});

describe('bands by hand', () => {
  const kept = (region: StripRegion): unknown => {
    const sheet = { format: 'wetline-sheet/1', scans: [{ id: 'strip', file: 'strip.png' }], regions: [region] };
    return sheetSchema.parse(JSON.parse(JSON.stringify(sheet))).regions[0];
  };

  test('added, removed, joined and held, as the sheet keeps them', () => {
    const added = withBandAt(fresh, 0.43219);
    expect(saidOf(added)).toEqual([{ rF: 0.4322 }]);
    const removed = withoutBandAt(added, 0.7);
    const joined = withBandsMerged(removed, 0.9, 0.8);
    expect(saidOf(joined)).toEqual([{ rF: 0.4322 }, { rF: 0.7, removed: true }, { rF: 0.8, with: 0.9 }]);
    expect(kept(joined)).toEqual(joined);
    expect(isHeldAt(joined, 0.43)).toBe(true);
    expect(saidOf(joined).map(saidWords)).toEqual([
      'A band is at R_F 0.432',
      'No band is at R_F 0.700',
      'The bands at R_F 0.800 and 0.900 are one dye',
    ]);
  });

  test('removing what was added takes the word back; adding where one was removed does, too', () => {
    expect(withoutBandAt(withBandAt(fresh, 0.4), 0.405)).not.toHaveProperty('bands');
    expect(saidOf(withBandAt(withoutBandAt(fresh, 0.4), 0.401))).toEqual([{ rF: 0.401 }]);
  });

  test('joined bands are no longer held apart by pins', () => {
    const held = withBandAt(withBandAt(fresh, 0.5), 0.6);
    expect(saidOf(withBandsMerged(held, 0.5, 0.6))).toEqual([{ rF: 0.5, with: 0.6 }]);
  });

  test('each word can be taken back; nothing said leaves no field', () => {
    const both = withoutBandAt(withBandAt(fresh, 0.2), 0.8);
    expect(saidOf(withoutWord(both, saidOf(both)[0]))).toEqual([{ rF: 0.8, removed: true }]);
    expect(saidOf(both).reduce(withoutWord, both)).not.toHaveProperty('bands');
  });

  test('a place beyond the front is kept where the sheet allows it', () => {
    expect(saidOf(withBandAt(fresh, 1.4))).toEqual([{ rF: 1.02 }]);
    expect(saidOf(withBandAt(fresh, -0.2))).toEqual([{ rF: 0 }]);
  });
});

describe('bands in words', () => {
  test('a place holds a band where one is near or spans it, and else none is told there', () => {
    const bands = bandFigures('fresh', stripDetail, traced);
    const [{ centreMm, fromMm, toMm }] = bands;
    expect([centreMm, centreMm + 2.9, fromMm, toMm].map((mm) => isToldAt(bands, mm))).toEqual([true, true, true, true]);
    expect(isToldAt(bands, Math.min(...bands.map((b) => b.fromMm)) - 10)).toBe(false);
    expect(isToldAt([], centreMm)).toBe(false);
  });

  test('place, share, hue and name with their ±', () => {
    const [first, second] = bandFigures('fresh', stripDetail, traced);
    expect(first.rFWords).toMatch(/^0\.\d+ ± 0\.\d+$/);
    expect(first.shareWords).toMatch(/^\d+\.\d ± \d\.\d$/);
    expect([first.hueWords, second.hueWords]).toEqual(['10 ± 10°', '264 ± 5°']);
    // Not measured yet: its colour is read off the strip, but nobody knows how well.
    expect(bandFigures('fresh', stripDetail, [])[0].hueWords).toBe('10 ± ?°');
    expect(bandLabel(first)).toMatch(/^Band 1, R_F 0\.\d+ ± 0\.\d+, .*pink/);
    expect(first.key).toBe('bandPosition(fresh)#1');
  });

  test('a grey band has no hue, one without findings has its colour all the same', () => {
    const grey = { ...stripDetail, bands: [{ ...stripDetail.bands[0], lab: [60, 1, 2] as const }] };
    expect(bandFigures('other', grey, traced)[0]).toMatchObject({ hueWords: 'nearly grey', rFWords: '', key: null });
  });
});

describe('fresh against dried', () => {
  const shift = (band: number, value: number | null): TracedFinding => ({
    ...traced[0],
    key: `runShift(fresh,dried)#${band}`,
    finding: {
      quantity: 'runShift',
      subject: { regions: ['fresh', 'dried'], band },
      value,
      unit: '1',
      u: value === null ? null : 0.002,
      flags: [],
      method: 'runShift/1',
    },
  });
  const band = (number: number, rF: number) => ({ ...stripDetail.bands[0], band: number, rF });
  const strip = (...places: number[]) => ({ ...stripDetail, bands: places.map((rF, i) => band(i + 1, rF)) });
  const pair = { fresh: 'fresh', dried: 'dried' };

  test('the sample’s pair is found', () => {
    expect(runPairs(traced)).toEqual([pair]);
  });

  test('bands are joined by where they went, also when their numbers change; those alone stand alone', () => {
    const findings = [shift(1, -0.1), shift(2, 0.05), shift(3, null)];
    const joined = joinedBands(pair, findings, strip(0.3, 0.5, 0.8), strip(0.1, 0.2, 0.55));
    expect(joined.map(({ fresh: a, dried: b }) => [a, b])).toEqual([
      [1, 2],
      [2, 3],
      [3, null],
      [null, 1],
    ]);
  });
});

describe('strips offered on a scan', () => {
  const found: FoundStrip = {
    boxMm: [10, 5, 20, 100],
    travel: 'down',
    travelSure: true,
    originMm: 12,
    frontMm: 90,
  };
  const scan = { id: 'bed', side: 'front', of: null } as const;
  const search = { state: 'found', strips: [found, { ...found, boxMm: [50, 5, 20, 100] }] } as const;

  test('one that a region of a strip lies on already is not offered again', () => {
    const strip: SheetRegion = { id: 'fresh', scan: 'bed', kind: 'strip', boxMm: [12, 8, 16, 90] };
    expect(offeredStrips(search, 'bed', [])).toHaveLength(2);
    expect(offeredStrips(search, 'bed', [strip]).map(({ boxMm }) => boxMm[0])).toEqual([50]);
    expect(offeredStrips(search, 'bed', [{ ...strip, scan: 'other' }])).toHaveLength(2);
    expect(offeredStrips({ state: 'looking' }, 'bed', [])).toEqual([]);
  });

  test('taken, it is a region with its way, on the scan, its ends still to be found; the next is named anew', () => {
    const first = stripRegion(found, scan, { width: 25, height: 100 }, []);
    expect(first).toEqual({
      id: 'fresh',
      scan: 'bed',
      kind: 'strip',
      boxMm: [10, 5, 15, 95],
      run: 'fresh',
      travel: 'down',
    });
    expect(stripRegion(found, scan, { width: 200, height: 200 }, [first])).toMatchObject({ id: 'dried', run: 'dried' });
  });
});
