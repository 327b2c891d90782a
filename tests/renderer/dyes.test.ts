/** Whose dyes lie where, and the dyes of the shelf: what stands in plots, maps and tables. */
import { describe, expect, test } from 'vitest';
import { dyeBands, dyeTable, type DyeBand } from '../../analysis/compare/dyeTable.ts';
import type { LabValue, Quantity } from '../../analysis/quantity.ts';
import type { DyesAlong } from '../../electron/backend/stripAnswers.ts';
import { filePaint, type Surface } from '../../renderer/plots/paint.ts';
import { dyeColour, mapPixels } from '../../renderer/strips/dyeMap.ts';
import { dyeRows, sortedRows } from '../../renderer/strips/dyeRows.ts';
import { dyesAlongData, dyesAlongSvg } from '../../renderer/strips/dyesAlongSvg.ts';
import { strangePlaces } from '../../renderer/strips/DyesAlongStrip.tsx';
import { dyesData, dyesSvg } from '../../renderer/strips/dyesSvg.ts';
import { plotsDocument } from './plotsDocument.ts';

const surface: Surface = { width: 700, height: 420, paint: filePaint, document: plotsDocument() };

const along: DyesAlong = {
  is: 'strip',
  of: 'fresh',
  over: 'dried',
  dyes: [
    { band: 1, lab: [76, 40, 7], rF: 0.3 },
    { band: 2, lab: [55, -5, -45], rF: 0.8 },
  ],
  sameCalibration: true,
  travel: 'up',
  originMm: 80,
  frontMm: 20,
  placesMm: [20, 50, 80],
  amounts: [
    [0, 0.5, 0.1],
    [0.9, 0, 0.05],
  ],
  u: [
    [0.01, 0.02, 0.2],
    [0.05, 0.01, 0.01],
  ],
  misfit: [0.2, 0.5, 3],
};

describe('along a strip', () => {
  test('by R_F, from origin to front, with ± 2u that never goes below nothing', () => {
    const { along: axis, dyes } = dyesAlongData(along);
    expect(axis).toBe('rF');
    expect(dyes[0].points).toEqual([
      { at: 0, amount: 0.1, low: 0, high: 0.5 },
      { at: 0.5, amount: 0.5, low: 0.46, high: 0.54 },
      { at: 1, amount: 0, low: 0, high: 0.02 },
    ]);
    expect(dyesAlongData({ ...along, frontMm: null }).along).toBe('mm');
  });

  test('places that these dyes do not explain are said, few are not', () => {
    expect(strangePlaces(along)).toMatch(/^Over 33 % of the strip these dyes do not make the colour/);
    expect(strangePlaces({ ...along, misfit: [0.2, 0.5, 1] })).toBe('');
  });

  test('is drawn in the dyes’ own colours', () => {
    const svg = dyesAlongSvg(dyesAlongData(along), surface).outerHTML;
    expect(svg).not.toMatch(/undefined|NaN|Infinity/);
    along.dyes.forEach(({ lab }) => expect(svg).toContain(filePaint(lab)));
  });
});

describe('a map of a dye', () => {
  test('paper where there is none, the dye where there is most; pale dyes are made darker', () => {
    const pixels = mapPixels(btoa(String.fromCharCode(0, 255, 128)), [0, 100, 200]);
    expect([...pixels.subarray(0, 8)]).toEqual([243, 243, 243, 255, 0, 100, 200, 255]);
    expect(pixels[8]).toBeGreaterThan(115);
    expect(pixels[8]).toBeLessThan(127);
    const [r, g, b] = dyeColour([93, -4, 25]);
    expect(Math.max(r, g, b)).toBeLessThan(170);
    expect(b).toBeLessThan(g);
  });
});

describe('the shelf', () => {
  const BLUE: LabValue = [50, -5, -40];
  const PINK: LabValue = [60, 50, -5];
  const GREY: LabValue = [60, 1, 2];
  function bandsOf(ink: string, bands: readonly (readonly [number, LabValue])[], liquid: string | null): DyeBand[] {
    const findings = bands.flatMap(([rF, lab], i): Quantity[] => {
      const subject = { regions: ['fresh'], band: i + 1 };
      const own = { subject, flags: [], method: 'x/1' };
      return [
        { ...own, quantity: 'bandPosition', value: rF, unit: '1', u: 0.003 },
        { ...own, quantity: 'bandColour', value: lab, unit: 'Lab', u: [1, 1, 1], verdict: `name of ${ink} ${i + 1}` },
      ];
    });
    const strip = { ink, region: 'fresh', paper: 'filter', liquid, temperatureC: null, run: 'fresh' as const };
    return dyeBands(strip, findings);
  }
  const table = dyeTable([
    ...bandsOf(
      'Tidewater',
      [
        [0.4, BLUE],
        [0.7, PINK],
      ],
      'water',
    ),
    ...bandsOf(
      'Samphire',
      [
        [0.41, BLUE],
        [0.2, GREY],
      ],
      'water',
    ),
    ...bandsOf('Heron', [[0.4, BLUE]], 'spirit'),
  ]);
  const rows = dyeRows(table);

  test('who shares a dye stands beside it; with another liquid nothing is compared', () => {
    const of = (ink: string) => rows.filter(({ band }) => band.strip.ink === ink);
    expect(of('Tidewater').map(({ sharedWith }) => sharedWith)).toEqual([['Samphire'], []]);
    expect(of('Heron').map(({ sharedWith, conditions }) => [sharedWith, conditions])).toEqual([
      [[], 'filter, spirit, fresh'],
    ]);
    expect(rows.find(({ band }) => band.hueDeg === null)?.hueWords).toBe('nearly grey');
  });

  test('sorted by each column, and back', () => {
    const inks = (by: Parameters<typeof sortedRows>[1], falling = false) =>
      sortedRows(rows, by, falling).map(({ band }) => `${band.strip.ink} ${band.band}`);
    expect(inks('rF')[0]).toBe('Samphire 2');
    expect(inks('rF', true)[0]).toBe('Tidewater 2');
    expect(inks('hue').at(-1)).toBe('Samphire 2');
    expect(inks('ink').slice(0, 3)).toEqual(['Heron 1', 'Samphire 2', 'Samphire 1']);
    expect(inks('shared').slice(0, 2).toSorted()).toEqual(['Samphire 1', 'Tidewater 1']);
    expect(inks('conditions')[0]).toBe('Heron 1');
    expect(inks('name')[0]).toBe('Heron 1');
  });

  test('the scatter holds every band with a hue at its place, ties those that may be one dye, and names their inks', () => {
    const data = dyesData(table);
    expect(data.points).toHaveLength(4);
    expect(data.grey).toBe(1);
    expect(data.ties.map(({ from, to }) => [from.ink, to.ink].toSorted())).toEqual([['Samphire', 'Tidewater']]);
    const svg = dyesSvg(data, surface).outerHTML;
    expect(svg).not.toMatch(/undefined|NaN|Infinity/);
    for (const ink of ['Tidewater', 'Samphire', 'Heron']) expect(svg).toContain(`>${ink}</text>`);
    const [first, ...others] = table.bands;
    const dried = { ...first, strip: { ...first.strip, region: 'other', run: 'dried' as const } };
    const labels = dyesData({ ...table, bands: [first, dried, ...others] }).points.map(({ label }) => label);
    expect(labels).toContain(`${first.strip.ink}, dried`);
  });
});
