/** The ink as a film in the window: what the slider, its marks, its words and its plots are made of. */
import fc from 'fast-check';
import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import sharp from 'sharp';
import { describe, expect, test, vi } from 'vitest';
import type { FilmCurve } from '../../electron/backend/filmAnswer.ts';
import { absorptionData, absorptionSummary, absorptionTable, peakText } from '../../renderer/film/absorptionData.ts';
import { absorptionSvg } from '../../renderer/film/absorptionSvg.ts';
import { colourAt, doseAt, doseScale, shareOf } from '../../renderer/film/doseAlong.ts';
import { nextStop, nibMarks, nibStops, placedMarks, stopsAt, swabDoses } from '../../renderer/film/doseMarks.ts';
import { curveTable, doseKey, dosePlotData, doseSummary, pointTable } from '../../renderer/film/dosePlotData.ts';
import { doseSvg } from '../../renderer/film/doseSvg.ts';
import { DoseSwatch } from '../../renderer/film/DoseSwatch.tsx';
import { doseWords, spokenDose, stopsWords } from '../../renderer/film/doseWords.ts';
import { fitName, leadSentence } from '../../renderer/film/filmWords.ts';
import { FitQuality } from '../../renderer/film/FitQuality.tsx';
import { NoFilm } from '../../renderer/film/NoFilm.tsx';
import { papersApart } from '../../renderer/film/papersApart.ts';
import { rampGradient, seenClip } from '../../renderer/film/ramp.ts';
import { wavelengthColour } from '../../renderer/film/wavelengthColour.ts';
import { filePaint, type Surface } from '../../renderer/plots/paint.ts';
import { csvText } from '../../renderer/look/spreadsheet.ts';
import { tableFields } from '../../renderer/plots/PlotTable.tsx';
import { fit, noFilm } from './filmSample.ts';
import { plotsDocument } from './plotsDocument.ts';
import { work } from './plotsSample.ts';

const [white, yellow] = fit.curves;
const scale = doseScale(fit.curves)!;

describe('along the doses', () => {
  test('share and dose undo each other, and the ends are the ends', () => {
    expect([shareOf(scale, scale.from), shareOf(scale, scale.to)]).toEqual([0, 1]);
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (share) => {
        expect(shareOf(scale, doseAt(scale, share))).toBeCloseTo(share, 9);
      }),
    );
  });

  test('at its own doses a curve has its own colours', () => {
    white.doses.forEach((dose, i) => {
      const colour = colourAt(white, dose);
      white.lab[i].forEach((v, part) => expect(colour?.lab[part]).toBeCloseTo(v, 9));
      white.u[i].forEach((v, part) => expect(colour?.u[part]).toBeCloseTo(v, 9));
    });
  });

  test('between them it lies between its neighbours; beyond its ends it is not told', () => {
    const [a, b] = [white.lab[10], white.lab[11]];
    const middle = colourAt(white, Math.sqrt(white.doses[10] * white.doses[11]));
    middle?.lab.forEach((v, part) => expect(v).toBeCloseTo((a[part] + b[part]) / 2, 9));
    expect(colourAt(white, scale.from * 0.9)).toBeNull();
    expect(colourAt(white, scale.to * 1.1)).toBeNull();
    expect(colourAt({ ...white, doses: [], lab: [], u: [] }, 1)).toBeNull();
  });

  test('what was seen is told from what is foretold', () => {
    expect(colourAt(white, white.seen[0])?.seen).toBe(true);
    expect(colourAt(white, white.seen[1])?.seen).toBe(true);
    expect(colourAt(white, white.seen[1] * 1.02)?.seen).toBe(false);
    expect(colourAt(yellow, 2.5)?.seen).toBe(false);
  });

  test('one dose, or none, makes no scale', () => {
    expect(doseScale([])).toBeNull();
    expect(doseScale([{ ...white, doses: [1] }])).toBeNull();
  });
});

describe('marks on the slider', () => {
  test('nibs stand where their doses lie, palest first; swabs are no nibs', () => {
    const marks = nibMarks(work, fit.points, white.paper);
    expect(marks.map(({ name, dose }) => [name, dose])).toEqual([
      ['EF', 0.7],
      ['M', 1.15],
      ['B', 1.6],
    ]);
    expect(swabDoses(work, fit.points, white.paper)).toHaveLength(9);
  });

  test('a region of several doses stands at the middle one', () => {
    const more = [...fit.points, ...[2, 3].map((dose) => ({ ...fit.points[0], dose }))];
    expect(nibMarks(work, more, white.paper).find(({ name }) => name === 'EF')?.dose).toBe(2);
  });

  test('keys lead from nib to nib and end at the last', () => {
    const stops = nibStops(work, fit.points, fit.curves);
    expect(stops.map(({ dose }) => dose)).toEqual([0.66, 0.7, 1, 1.15, 1.4, 1.6]);
    expect(nextStop(stops, 0.7, 1)?.dose).toBe(1);
    expect(nextStop(stops, 0.7, -1)?.dose).toBe(0.66);
    expect(nextStop(stops, 1.6, 1)).toBeNull();
    expect(nextStop(stops, 0.2, -1)).toBeNull();
  });

  test('names that would touch stand in two lines', () => {
    const [first] = nibMarks(work, fit.points, white.paper);
    const close = [first, { ...first, name: 'F', dose: first.dose * 1.05 }, { ...first, name: 'B', dose: 2.5 }];
    expect(placedMarks(close, scale, 30).map(({ line }) => line)).toEqual([0, 1, 0]);
    expect(placedMarks(close, scale, 900).map(({ line }) => line)).toEqual([0, 0, 0]);
  });

  test('papers come in the order of the bench', () => {
    const turned = papersApart(work, { ...fit, curves: [yellow, white] });
    expect(turned.curves.map(({ paper }) => paper)).toEqual([white.paper, yellow.paper]);
    expect(turned.points).toEqual(fit.points);
  });

  test('one paper on two scans has two names, and each sample keeps to its own', () => {
    const twin = {
      ...fit,
      curves: [white, { ...yellow, paper: white.paper }],
      points: fit.points.map((p) => ({ ...p, paper: white.paper })),
    };
    const apart = papersApart(work, twin);
    expect(apart.curves.map(({ paper }) => paper)).toEqual([`${white.paper} (white)`, `${white.paper} (yellow)`]);
    expect(nibStops(work, apart.points, apart.curves)).toHaveLength(6);
    expect(dosePlotData(work, apart.curves, apart.points).points.filter(({ on }) => on === 1)).toHaveLength(9);
  });
});

describe('what is said', () => {
  test('of a dose', () => {
    expect([0.42, 1, 1.83, 12.4].map(doseWords)).toEqual([
      '0.42 of the median dose',
      'the median dose',
      '1.8 times the median dose',
      '12 times the median dose',
    ]);
  });

  test('of the slider, with whose dose it is and the colour on each paper', () => {
    const stops = stopsAt(nibStops(work, fit.points, fit.curves), 1.6);
    expect(stopsWords(stops)).toBe('as the broad nib on “bright white, smooth” laid it');
    const said = spokenDose(2.5, fit.curves, []);
    expect(said).toMatch(/^2\.5 times the median dose: on “bright white, smooth” .*blue, L\* \d+; on “yellow, dyed” /);
    expect(said.endsWith(', foretold')).toBe(true);
    expect(spokenDose(99, fit.curves, [])).toContain('on “yellow, dyed” not told');
  });

  test('of the fit as a whole', () => {
    expect(leadSentence(fit, true, { value: 581.3, u: 2.4 })).toMatch(
      /strongest at 581 ± 5 nm, tells the 21 measured doses on 2 papers;/,
    );
    expect(leadSentence(fit, false)).toMatch(
      /, was fitted to 21 measured doses .* the target’s map, which still tells/,
    );
    expect(fitName(fit)).toBe('“bright white, smooth” and “yellow, dyed”');
  });

  test('of a swatch: the paper, whether it was seen, Lab with ±, its name', () => {
    const html = renderToStaticMarkup(createElement(DoseSwatch, { curve: yellow, dose: 2.5 }));
    expect(html).toContain('yellow, dyed');
    expect(html).toContain('Foretold, beyond the range seen');
    expect(html.match(/figure-value/g)).toHaveLength(3);
    expect(html).not.toMatch(/NaN|undefined/);
  });

  test('of misfits, each with its region as a button; an advice and the weaker form', () => {
    const markup = (of: typeof fit) =>
      renderToStaticMarkup(createElement(FitQuality, { fit: of, onChooseRegion: vi.fn<(region: string) => void>() }));
    expect(markup(fit)).toMatch(/<button[^>]*aria-label="Show “swab-graded-yellow” on its scan"/);
    expect(markup(fit)).toContain('A third paper');
    expect(markup(fit)).not.toContain('the weaker form');
    const sound = { ...fit, taughtBy: 'lab' as const, quality: { ...fit.quality, misfits: [] }, advice: null };
    expect(markup(sound)).toContain('That alone proves nothing');
    expect(markup(sound)).toContain('the weaker form');
  });

  test('where no fit was possible: the next step, and why', () => {
    const html = renderToStaticMarkup(
      createElement(NoFilm, { missing: noFilm.missing, measuring: false, onScans: vi.fn<() => void>() }),
    );
    expect(html).toContain('Paint one swab that runs from pale to dense, beside bare paper');
    expect(html).toContain('there are two doses of the ink; four are needed');
  });
});

describe('the absorption', () => {
  const data = absorptionData(fit, { value: 581.3, u: 2.4 });

  test('has a band of ± 2u that never falls below 0', () => {
    const wide = absorptionData({ absorption: { ...fit.absorption, u: fit.absorption.u.map(() => 0.2) } });
    expect(wide.curve.some(({ k }) => k < 0.4)).toBe(true);
    for (const { k, low, high } of [...data.curve, ...wide.curve]) {
      expect(low).toBeGreaterThanOrEqual(0);
      expect(low).toBeLessThanOrEqual(k);
      expect(high).toBeGreaterThan(k);
    }
    const at = fit.absorption.nm.indexOf(600);
    expect(data.curve[at].high - data.curve[at].k).toBeCloseTo(2 * fit.absorption.u[at], 12);
  });

  test('names its peak, by the finding where there is one', () => {
    expect(peakText(data.peak!)).toBe('581 ± 5 nm');
    expect(peakText(absorptionData(fit).peak!)).toBe('580 nm');
    expect(absorptionSummary(data)).toMatch(
      /strongest at 581 ± 5 nm\. It absorbs half as much or more from 5\d0 to 6\d0 nm/,
    );
  });

  test('as CSV has a line for each wavelength', () => {
    const lines = csvText(tableFields(absorptionTable(data)))
      .trimEnd()
      .split('\n');
    expect(lines).toHaveLength(37);
    expect(lines[0]).toBe('nm,k,"± 2u, k"');
    expect(lines[21]).toMatch(/^580,1,0\.0\d+$/);
  });
});

describe('the strip of the spectrum', () => {
  const hue = (nm: number): number => {
    const [, a, b] = wavelengthColour(nm);
    return (Math.atan2(b, a) * 180) / Math.PI;
  };

  test('runs from blue over green and yellow to red', () => {
    expect(hue(470)).toBeLessThan(-60);
    expect(hue(530)).toBeGreaterThan(120);
    expect(hue(578)).toBeGreaterThan(60);
    expect(hue(578)).toBeLessThan(100);
    expect(hue(640)).toBeLessThan(40);
    expect(hue(640)).toBeGreaterThan(0);
  });

  test('never shouts, and fades where nobody sees', () => {
    for (let nm = 380; nm <= 780; nm += 5) {
      const [L, a, b] = wavelengthColour(nm);
      expect(Math.hypot(a, b)).toBeLessThan(36);
      expect(Math.abs(L - 66)).toBeLessThan(8);
    }
    const [, a, b] = wavelengthColour(730);
    expect(Math.hypot(a, b)).toBeLessThan(2);
  });
});

describe('the plots of dose', () => {
  const data = dosePlotData(work, fit.curves, fit.points);

  test('cut a curve where its seen range begins and ends', () => {
    const { pieces } = data.papers[0];
    const first = pieces.findIndex(({ seen }) => seen);
    const from = colourAt(white, white.seen[0]);
    expect(pieces[first].from).toEqual(from?.lab);
    expect(pieces.slice(0, first).every(({ seen }) => !seen)).toBe(true);
    expect(pieces.at(-1)?.seen).toBe(false);
    for (const [i, piece] of pieces.slice(1).entries()) expect(piece.from).toEqual(pieces[i].to);
  });

  test('hold every point, nib and paper', () => {
    expect(data.points).toHaveLength(fit.points.length);
    expect(data.nibs.map(({ name, paper }) => `${name}${paper}`)).toEqual(['EF0', 'M0', 'B0', 'EF1', 'M1', 'B1']);
    expect(data.papers.map(({ label }) => label)).toEqual(['bright white', 'yellow']);
  });

  test('papers that begin alike keep their whole names', () => {
    const twins: FilmCurve[] = [white, { ...yellow, paper: 'bright white, laid' }];
    expect(dosePlotData(work, twins, []).papers.map(({ label }) => label)).toEqual([
      'bright white, smooth',
      'bright white, laid',
    ]);
  });

  test('say in words what they show', () => {
    expect(doseSummary(data, 'L* and C*')).toMatch(
      /with 21 measured samples: on bright white from \d+, −?\d+, −\d+ to /,
    );
    expect(doseKey(data, false)).toContain('discs on bright white and triangles on yellow');
    expect(doseKey(data, true)).toContain('Hollow marks');
  });

  test('as CSV tell seen from foretold, and both ways of each sample', () => {
    const curves = csvText(tableFields(curveTable(fit.curves)))
      .trimEnd()
      .split('\n');
    expect(curves).toHaveLength(1 + 2 * white.doses.length);
    expect(curves[1]).toMatch(/^"bright white, smooth",0\.2,foretold,/);
    const points = csvText(tableFields(pointTable(fit.points, fit.curves)))
      .trimEnd()
      .split('\n');
    expect(points[0]).toBe(
      'sample,paper,dose,L*,a*,b*,"± 2u, L*","± 2u, a*","± 2u, b*",map L*,map a*,map b*,"± 2u, map L*","± 2u, map a*","± 2u, map b*","misfit, σ"',
    );
    expect(points).toHaveLength(1 + fit.points.length);
    const told = fit.points.map(({ paper, dose }) => {
      const curve = fit.curves.find((one) => one.paper === paper);
      return (
        curve &&
        colourAt(curve, dose)
          ?.u.map((v) => Number((2 * v).toFixed(1)))
          .join()
      );
    });
    expect(told.filter((u) => u !== undefined).length).toBeGreaterThan(0.8 * told.length);
    told.forEach((u, i) => expect(points[i + 1]).toContain(`,${u ?? '?,?,?'},`));
    expect(points[1]).toMatch(/,1\.4,2\.2,2\.4,[^,]+$/);
  });

  const surface: Surface = { width: 600, height: 480, paint: filePaint, document: plotsDocument() };
  const PLOTS = {
    absorption: () => absorptionSvg(absorptionData(fit), surface),
    'a*b*': () => doseSvg('ab', data, { withMap: false }, surface),
    'L*C* with the map': () => doseSvg('LC', data, { withMap: true }, surface),
  };
  test.each(Object.entries(PLOTS))('%s can be read as a picture of its own', async (_, build) => {
    const svg = build().outerHTML;
    expect(svg).not.toMatch(/undefined|NaN|Infinity/);
    const { info, data: pixels } = await sharp(Buffer.from(svg))
      .removeAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    expect([info.width, info.height]).toEqual([600, 480]);
    expect(pixels.filter((value) => value < 80).length).toBeGreaterThan(500);
  });

  test('hollow marks come when asked for, and nothing else moves', () => {
    const bare = doseSvg('ab', data, { withMap: false }, surface).outerHTML;
    const both = doseSvg('ab', data, { withMap: true }, surface).outerHTML;
    expect(both.match(/<path/g)!.length - bare.match(/<path/g)!.length).toBeGreaterThanOrEqual(2 * fit.points.length);
    const labels = (svg: string) => svg.match(/<text[^>]*>EF<\/text>/g);
    expect(labels(both)).toEqual(labels(bare));
    expect(labels(bare)).toHaveLength(2);
  });
});

test('a ramp is told from the same scale as the slider', () => {
  const short = { ...yellow, doses: yellow.doses.slice(8), lab: yellow.lab.slice(8) };
  expect(rampGradient(yellow, scale)).toMatch(/^linear-gradient\(to right in lab, transparent 0\.00%, lab\(/);
  expect(rampGradient(short, scale)).toContain('transparent 25.00%');
  expect(seenClip({ ...white, seen: [scale.from, Math.sqrt(scale.from * scale.to)] }, scale)).toBe(
    'inset(0 50.00% 0 0.00%)',
  );
});
