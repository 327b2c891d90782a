import { describe, expect, test } from 'vitest';
import { INK_MARKS } from '../../analysis/measure/ink.ts';
import { dotsOf, type MarksRaster } from '../../renderer/findings/marks/marksRaster.ts';
import { hatchInto, LINE, outlineOf } from '../../renderer/findings/marks/outline.ts';
import { signPlaces } from '../../renderer/findings/marks/signPlaces.ts';
import { aims, boxOnScan } from '../../renderer/findings/scan/flight.ts';
import { lineColourOn } from '../../renderer/findings/scan/lineColours.ts';
import { type BoxPx, boxPxOf, equallyLarge, regionAt } from '../../renderer/findings/scan/regionBox.ts';
import { bandWords } from '../../renderer/findings/strip/bandWords.ts';
import { niceSteps } from '../../renderer/findings/strip/niceSteps.ts';
import {
  bandAt,
  boxWithProfile,
  profileSize,
  spreadLabels,
  stripPlace,
} from '../../renderer/findings/strip/stripPlace.ts';
import { viewPlace } from '../../renderer/viewer/viewPlace.ts';
import { sampleBench, sampleFindings } from './findingsSample.ts';

const { none, counted, dark, light, doubleLayer } = INK_MARKS;

/** 40 × 20 cells over 80 × 40 px at (100, 50): counted ink with a dark left end, a light right end, a knot in the middle. */
const raster: MarksRaster = {
  columns: 40,
  rows: 20,
  boxPx: [100, 50, 80, 40],
  data: Uint8Array.from({ length: 800 }, (_, i) => {
    const [x, y] = [i % 40, Math.floor(i / 40)];
    if (y < 5 || y >= 15) return none;
    if (x < 8) return dark;
    if (x >= 32) return light;
    return x >= 18 && x < 22 ? doubleLayer : counted;
  }),
};
const view = { leftPx: 90, topPx: 40, pxPerDot: 1, width: 100, height: 60 };

describe('marks', () => {
  test('lie on the scan where their pixels lie, at any zoom', () => {
    for (const pxPerDot of [0.25, 1, 3]) {
      const dots = dotsOf(raster, { leftPx: 90, topPx: 40, pxPerDot, width: 500, height: 300 });
      const at = (x: number, y: number) =>
        dots[Math.floor((y - 40) / pxPerDot) * 500 + Math.floor((x - 90) / pxPerDot)];
      expect([at(95, 70), at(105, 70), at(141, 70), at(150, 70), at(175, 70), at(150, 52)]).toEqual([
        none,
        dark,
        doubleLayer,
        counted,
        light,
        none,
      ]);
    }
  });

  test('the outline runs on the rim, cased outside, and leaves the inside free', () => {
    const inside = dotsOf(raster, view).map(Number);
    const lines = outlineOf(Uint8Array.from(inside), 100, 60);
    // Ink from y = 60 to 80, that is dots 20 to 39; column 60 crosses it.
    const column = [16, 17, 18, 19, 20, 21, 30, 38, 39, 40, 41, 42].map((y) => lines[y * 100 + 60]);
    const { none: free, line, light: pale, dark: deep } = LINE;
    expect(column).toEqual([free, free, deep, pale, line, free, free, free, line, pale, deep, free]);
  });

  test('the hatch stays on the scan when the view moves', () => {
    const hatched = (leftPx: number): number[] => {
      const out = new Uint8Array(view.width * view.height);
      const dots = dotsOf(raster, { ...view, leftPx });
      hatchInto(out, (i) => dots[i] === doubleLayer, view.width, 7, leftPx + view.topPx);
      return [...out.keys()]
        .filter((i) => out[i] === LINE.line)
        .map((i) => (i % 100) + leftPx + 1000 * Math.floor(i / 100));
    };
    expect(hatched(90).length).toBeGreaterThan(10);
    expect(hatched(95)).toEqual(hatched(90));
  });

  test('signs stand on ink of their class, sparse, and at the same places of the scan when the view moves', () => {
    const onScan = (leftPx: number) => {
      const places = signPlaces(raster, { ...view, leftPx }, 12);
      const back = (list: readonly (readonly [number, number])[]) => list.map(([x, y]) => [x + leftPx, y + view.topPx]);
      return { dark: back(places.dark), light: back(places.light), between: back(places.between) };
    };
    const { dark: d, light: l, between } = onScan(90);
    expect([d.length, l.length, between.length].every((n) => n > 0)).toBe(true);
    expect(d.every(([x, y]) => x >= 100 && x < 116 && y >= 60 && y < 80)).toBe(true);
    expect(l.every(([x]) => x >= 164 && x < 180)).toBe(true);
    expect(between.every(([x]) => x >= 116 && x < 164 && (x < 136 || x >= 144))).toBe(true);
    expect(d.length + l.length + between.length).toBeLessThanOrEqual((96 / 12) * (36 / 12));
    expect(onScan(87)).toEqual({ dark: d, light: l, between });
  });
});

const strip = {
  travel: 'up' as const,
  originMm: 87,
  frontMm: 15,
  placesMm: [0, 100],
  lab: [],
  absorbance: [
    [0, 0],
    [0, 0],
    [0, 0],
  ] as const,
  fitted: [
    [0, 0],
    [0, 0],
    [0, 0],
  ] as const,
  bands: [
    { band: 1, centreMm: 60, fromMm: 55, toMm: 65, lab: [75, 42, 8] as const, rF: 0.36, share: 24 },
    { band: 2, centreMm: 40, fromMm: 35, toMm: 56, lab: [93, -5, 25] as const, rF: 0.62, share: 2 },
  ],
};
const box = [67, 61, 217, 1198] as const;

describe('a strip’s profile', () => {
  test.each([0.2, 1, 4])('lies mm for mm along the strip at %f px for each screen px', (pxPerScreen) => {
    const { cornerPx, screenPerMm, length } = stripPlace(strip, box, 300, pxPerScreen, profileSize(600));
    const onScan = (mm: number): number => cornerPx[1] + mm * screenPerMm * pxPerScreen;
    expect(onScan(60)).toBeCloseTo(box[1] + (60 * 300) / 25.4, 6);
    expect(cornerPx[0]).toBeGreaterThan(box[0] + box[2]);
    expect(length * pxPerScreen).toBeCloseTo(box[3], 6);
  });

  test('of a lying strip lies under it', () => {
    const lying = [61, 67, 1198, 217] as const;
    const { cornerPx, standing } = stripPlace({ travel: 'right' }, lying, 300, 1, profileSize(600));
    expect(standing).toBe(false);
    expect(cornerPx[0]).toBe(61);
    expect(cornerPx[1]).toBeGreaterThan(67 + 217);
  });

  test('a place on strip or profile belongs to the nearest band there; off both to nothing', () => {
    const at = (x: number, mm: number) => bandAt(strip, box, 300, 1, profileSize(600), [x, box[1] + (mm * 300) / 25.4]);
    expect(at(100, 60)).toEqual({ band: 1 });
    expect(at(400, 37)).toEqual({ band: 2 });
    expect(at(100, 55.5)).toEqual({ band: 1 });
    expect(at(100, 90)).toEqual({ band: null });
    expect(at(20, 60)).toBeNull();
    expect(at(900, 60)).toBeNull();
  });

  test.each([
    [520, 590],
    [240, 590],
    [1200, 1300],
  ])('is part of what a view of %i × %i px shows, and the strip with it', (width, height) => {
    const [x, , w, h] = boxWithProfile(strip, box, width, height);
    const pxPerScreen = Math.max(w / (0.8 * width), h / (0.8 * height));
    const size = profileSize(width);
    const panel = (size.gap + size.plot + size.labels) * pxPerScreen;
    expect(x).toBe(box[0]);
    expect(box[2] + panel).toBeLessThanOrEqual(w * 1.001);
    expect(h).toBe(box[3]);
  });

  test('labels keep apart and keep their order', () => {
    const places = spreadLabels([10, 12, 14, 95], 20, 0, 100);
    expect(places.every((p, i) => i === 0 || p - places[i - 1] >= 20)).toBe(true);
    expect(places.at(-1)).toBeLessThanOrEqual(100);
    expect(spreadLabels([10, 40, 80], 20, 0, 100)).toEqual([10, 40, 80]);
  });

  test('its scale has round steps, its bands their R_F with ±', () => {
    expect(niceSteps(1.1, 4)).toEqual([0, 0.5, 1]);
    expect(niceSteps(0.21, 4)).toEqual([0, 0.1, 0.2]);
    expect([...bandWords('fresh', sampleFindings)][1]).toEqual([2, '0.6201 ± 0.0066']);
  });
});

describe('views', () => {
  const rounded = (box: BoxPx | null) => box && box.map((px) => Math.round(px * 1000));
  const regions = sampleBench().regions.map(({ region }) => region);
  const region = (id: string) => regions.find((r) => r.id === id)!;
  const place = viewPlace({ x: 900, y: 1250, screenPerPx: 0.25 }, { width: 500, height: 600 });

  test('go to the chosen regions; a view that shows them well stays', () => {
    const scan = { id: 'white', dpi: 300 };
    const ef = boxOnScan(scan, [region('ef-white'), region('ef-yellow')], {}, place);
    const swab = boxOnScan(scan, [region('swab-even-white')], {}, place);
    const aim = (box: BoxPx | null, anyway = false) => rounded(aims([{ box, dpi: 300, place }], anyway)[0]);
    expect(rounded(ef)).toEqual(rounded(boxPxOf(region('ef-white'), 300)));
    expect(aim(ef)).toBeNull();
    expect(aim(ef, true)).toEqual(rounded(ef));
    expect(aim(swab)).toEqual(rounded(swab));
    expect(aim(null)).toBeNull();
  });

  test('of a pair on two scans of different resolution show as many mm each', () => {
    const [p, q] = equallyLarge([
      { box: [0, 0, 300, 300], dpi: 300 },
      { box: [100, 100, 300, 60], dpi: 600 },
    ]);
    expect([p[2] / 300, p[3] / 300]).toEqual([q[2] / 600, q[3] / 600]);
    expect([q[0] + q[2] / 2, q[1] + q[3] / 2]).toEqual([250, 130]);
  });

  test('a place belongs to the smallest region there', () => {
    const large = { ...region('ef-white'), id: 'large', boxMm: [0, 0, 200, 200] as [number, number, number, number] };
    expect(regionAt([large, region('ef-white')], 300, [300, 300])?.id).toBe('ef-white');
    expect(regionAt([large, region('ef-white')], 300, [2300, 2300])?.id).toBe('large');
    expect(regionAt([region('ef-white')], 300, [5, 5])).toBeNull();
  });

  test('lines are far from what was measured on their scan', () => {
    const onYellow = lineColourOn('yellow', regions, sampleFindings);
    const onWhite = lineColourOn('white', regions, sampleFindings);
    expect(onYellow).not.toEqual(onWhite);
    expect(lineColourOn('none', regions, sampleFindings)).toEqual(lineColourOn('other', regions, []));
  });
});
