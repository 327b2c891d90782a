/** By the film fit or by the target's map: which is said of a figure, what the other says, and a page that keeps to one of them. */
import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, test } from 'vitest';
import type { LabValue, Quantity } from '../../analysis/quantity.ts';
import type { FindingsReport, TracedFinding } from '../../electron/backend/api.ts';
import { byMapAlone } from '../../analysis/measure/byMapAlone.ts';
import { hasFilm, reportByMap, wayOf } from '../../renderer/film/byWay.ts';
import { isOfFilm } from '../../renderer/film/ofFilm.ts';
import { eachItsWay, oneWay } from '../../renderer/film/oneWay.ts';
import { arrangeFindings, placedFindings } from '../../renderer/findings/arrange/arrangement.ts';
import { rowsOf } from '../../renderer/findings/arrange/table.ts';
import { writingTable } from '../../renderer/findings/arrange/writingGrid.ts';
import { sharedNotes } from '../../renderer/findings/arrange/sharedNotes.ts';
import { FindingsGrid } from '../../renderer/findings/tables/FindingsGrid.tsx';
import { otherWay, sentenceOfWay } from '../../renderer/reading/howTold.ts';
import { filmAnswer, fit, noFilm } from './filmSample.ts';
import { sampleBench, sampleFindings as asMeasured } from './findingsSample.ts';
import { detailOf, inkDetail } from './plotsSample.ts';

/** The sample as the map alone tells it, whatever the fit makes of it: each test says itself what is by the film. */
const sampleFindings: readonly TracedFinding[] = asMeasured
  .filter(({ finding }) => !isOfFilm(finding.quantity))
  .map((traced) => ({ ...traced, finding: byMapAlone(traced.finding) }));

const of = (key: string): Quantity => {
  const traced = sampleFindings.find((one) => one.key === key);
  if (!traced) throw new Error(`no finding ${key} in the sample`);
  return traced.finding;
};

/** As if the film fit had told it, a little elsewhere and surer. */
function filmed(finding: Quantity): Quantity {
  const { value, u, method } = finding;
  const surer = typeof u === 'number' || u === null ? (u ?? 0) / 2 : ([u[0] / 2, u[1] / 2, u[2] / 2] as const);
  const moved =
    typeof value === 'number' || value === null ? (value ?? 0) * 0.4 : ([value[0], value[1] + 9, value[2]] as const);
  return { ...finding, value: moved, u: surer, method: `${finding.quantity}/film`, byMap: { value, u, method } };
}

const shading = of('shading(b-white)');
const colour = of('inkColour(b-white)');

describe('which way', () => {
  test('is told by what a finding holds', () => {
    expect(wayOf(filmed(shading))).toBe('film');
    expect(wayOf(shading)).toBe('map');
    expect(wayOf(of('inkColour.hue(b-white)'))).toBe('map');
    expect(wayOf(of('paperColour(bare-white)'))).toBeNull();
    expect(wayOf({ ...shading, value: null })).toBeNull();
  });

  test('the map alone gives back what it said, with its own word, name, method and flags', () => {
    const alone = byMapAlone({ ...filmed(shading), verdict: 'faint', flags: ['lab-alone', 'clipped'] });
    expect(alone).toMatchObject({ value: shading.value, u: shading.u, method: shading.method, flags: ['clipped'] });
    expect(alone.verdict).toBe(shading.verdict);
    expect(alone.byMap).toBeUndefined();
    expect(alone.uParts).toBeUndefined();
    const name = byMapAlone({ ...filmed(colour), verdict: 'another name' }).verdict;
    expect(name).toBe(colour.verdict);
    expect(byMapAlone(shading)).toBe(shading);
  });

  test('a whole report by the map holds none of the fit', () => {
    const findings: TracedFinding[] = sampleFindings.map((t) => ({ ...t, finding: filmed(t.finding) }));
    const report: FindingsReport = { findings, calibrations: [], problems: [], measuredAt: null };
    expect(hasFilm(report)).toBe(true);
    const alone = reportByMap(report);
    expect(hasFilm(alone)).toBe(false);
    expect(alone.findings.map(({ finding }) => finding.value)).toEqual(
      sampleFindings.map(({ finding }) => finding.value),
    );
  });
});

describe('the reading', () => {
  test('says how a colour was got and what would make it surer', () => {
    expect(sentenceOfWay(filmed(colour), filmAnswer)).toEqual({
      sentence: 'Got by the film fit of 21 doses on 2 papers.',
      advice: [fit.advice],
    });
    const weaker = {
      ...filmAnswer,
      fits: [{ ...fit, taughtBy: 'lab' as const, curves: [fit.curves[0]], advice: null }],
    };
    expect(sentenceOfWay(filmed(colour), weaker)).toEqual({
      sentence: 'Got by the film fit of 21 doses on one paper, with the target’s Lab alone.',
      advice: [],
    });
    expect(sentenceOfWay(of('inkColour(ef-white)'), noFilm)).toEqual({
      sentence: 'Got by the target’s map.',
      advice: [noFilm.missing[0].words],
    });
    expect(sentenceOfWay(of('paperColour(bare-white)'), filmAnswer)).toBeNull();
  });

  test('has the other way at hand, and how far the two lie apart', () => {
    const measured = filmed(colour);
    const map = otherWay(measured, measured);
    expect(map?.title).toBe('What the target’s map says');
    expect(map?.text).toMatch(/^By the map: L\* [\d.]+ ± [\d.]+, a\* .* The two ways lie \d\.\d ΔE00 apart\.$/);
    const film = otherWay(byMapAlone(measured), measured);
    expect(film?.title).toBe('What the film fit says');
    expect(film?.text).toMatch(/^By the film fit: /);
    expect(otherWay(filmed(shading), filmed(shading))?.text).toBe('By the map: 3.89 ± 0.81 ΔE00.');
    expect(otherWay(shading, shading)).toBeNull();
  });
});

describe('colours beside a figure', () => {
  const [ends] = fit.ends;
  const details = {
    'b-white': detailOf('b-white', { ink: inkDetail }),
    'm-white': detailOf('m-white', { ink: inkDetail }),
  };
  const reportWith = (...names: string[]): FindingsReport => ({
    findings: sampleFindings.map((t) => (names.includes(t.key) ? { ...t, finding: filmed(t.finding) } : t)),
    calibrations: [],
    problems: [],
    measuredAt: null,
  });
  const colourIn = ({ findings }: FindingsReport) => findings.find(({ key }) => key === 'inkColour(b-white)')?.finding;
  const { lab, paper, dark, light } = ends;

  test('are the film’s beside a figure by the film, also where the colour itself is by the map', () => {
    const all = { report: reportWith('shading(b-white)'), details };
    const beside = oneWay(filmed(shading), all, filmAnswer);
    expect(beside.details['b-white'].ink).toEqual({ ...inkDetail, lab, paper, dark, light });
    expect(beside.details['m-white']).toBe(details['m-white']);
    expect(colourIn(beside.report)).toMatchObject({ value: lab, u: null });
  });

  test('are the map’s beside a figure by the map, also where the colour itself is by the film', () => {
    const all = { report: reportWith('inkColour(b-white)'), details };
    const beside = oneWay(shading, all, filmAnswer);
    expect(beside.details).toBe(details);
    expect(colourIn(beside.report)).toMatchObject({ value: colour.value, u: colour.u });
    expect(oneWay(of('paperColour(bare-white)'), all, filmAnswer).report).toBe(all.report);
    expect(oneWay(filmed(shading), all, null).details).toBe(details);
  });

  test('in the plots of the whole ink are told as each region’s own colour is', () => {
    const each = eachItsWay({ report: reportWith('inkColour(b-white)', 'shading(m-white)'), details }, filmAnswer);
    expect(each['b-white'].ink?.dark).toEqual(dark);
    // As sure as the fit is there, not as the map would be.
    const [curve] = fit.curves;
    const place = curve.lab.length - 1;
    const onCurve = { ...ends, paper: curve.paperLab, dark: curve.lab[place] };
    const told = { ...filmAnswer, fits: [{ ...fit, ends: [onCurve] }] };
    const doubted = {
      ...details,
      'b-white': { ...details['b-white'], doubt: { dark: [9, 9, 9], paper: [9, 9, 9] } },
    } as const;
    const { doubt } = eachItsWay({ report: reportWith('inkColour(b-white)'), details: doubted }, told)['b-white'];
    const { repeatability = 0, placement = 0 } = colour.uParts ?? {};
    const part = (u: number | LabValue): number => (typeof u === 'number' ? u : u[0]);
    expect(doubt?.dark?.[0]).toBeCloseTo(Math.hypot(curve.u[place][0], part(repeatability), part(placement)), 9);
    expect(doubt).not.toHaveProperty('paper');
    expect(each['m-white']).toBe(details['m-white']);
    expect(eachItsWay({ report: reportWith(), details }, filmAnswer)).toBe(details);
    expect(eachItsWay({ report: reportWith('inkColour(b-white)'), details }, noFilm)).toEqual(details);
  });
});

describe('the tables', () => {
  const half = sampleFindings.map((t) => (t.key.includes('white') ? { ...t, finding: filmed(t.finding) } : t));
  const table = writingTable(arrangeFindings(sampleBench({ findings: half })).writing, 'shading');
  const markup = (told?: { beside: boolean }) =>
    renderToStaticMarkup(
      createElement(FindingsGrid, {
        table,
        titled: true,
        notes: false,
        shared: sharedNotes([]),
        chosenKey: null,
        onChoose: () => undefined,
        ...(told && { told }),
      }),
    );
  const count = (html: string, part: RegExp): number => [...html.matchAll(part)].length;

  test('mark which way each figure was told, and say it to those who do not see the mark', () => {
    const html = markup({ beside: false });
    expect([count(html, /data-way="film"/g), count(html, /data-way="map"/g)]).toEqual([5, 5]);
    expect([count(html, /, by the film fit</g), count(html, /, by the target’s map</g)]).toEqual([5, 5]);
    expect(html).not.toContain('cell-beside');
  });

  test('show both when asked, and nothing of it where no film was fitted', () => {
    expect(count(markup({ beside: true }), /class="cell-beside"/g)).toBe(5);
    expect(markup({ beside: true })).toContain('map 3.89\u00A0±\u00A00.81\u00A0ΔE00');
    expect(markup()).not.toMatch(/data-way|film fit/);
  });

  test('give the film a place of its own, also when it was told from one sample alone', () => {
    const subject = { regions: ['swab-graded-white'] };
    const base = { subject, u: 1, flags: [], method: 'film/1' };
    const film = [
      { ...base, quantity: 'absorption' as const, value: 581, unit: 'nm' as const },
      { ...base, quantity: 'doseCurve' as const, value: 9, unit: '1' as const },
      { ...base, quantity: 'fitQuality' as const, value: 1.3, unit: '1' as const, verdict: 'one film' },
    ].map((finding): TracedFinding => ({ ...sampleFindings[0], key: finding.quantity, finding }));
    const all = arrangeFindings(sampleBench({ findings: [...sampleFindings, ...film] }));
    expect(all.film && rowsOf(all.film).map(({ heading }) => [heading.words, heading.detail])).toEqual([
      ['Absorption', undefined],
      ['Fit', undefined],
      ['Dose range', 'bright white, smooth'],
    ]);
    expect(placedFindings(all)).toHaveLength(sampleFindings.length + film.length);
    expect(arrangeFindings(sampleBench({ findings: sampleFindings })).film).toBeNull();
  });
});
