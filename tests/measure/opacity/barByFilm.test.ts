/** Ink over a printed bar read through the ink's film, as signals without pixels; docs/study/opacity.md has many more. */
import { describe, expect, test } from 'vitest';
import { compileCalibration, signalToXyz } from '../../../analysis/calibrate/apply.ts';
import { straightened } from '../../../analysis/film/bend.ts';
import { xyzOnGrid } from '../../../analysis/film/grid.ts';
import { measureFilm } from '../../../analysis/measure/film/measureFilm.ts';
import { weighed } from '../../../analysis/measure/opacity/barByFilm.ts';
import type { BarSignals } from '../../../analysis/measure/opacity/measuredBar.ts';
import type { Quantity } from '../../../analysis/quantity.ts';
import { seededRandom } from '../../../analysis/seededRandom.ts';
import { filmWorld } from '../../../study/filmWorlds.ts';
import { drawOpacityInk } from '../../../study/opacityInk.ts';
import { pigmentsByName } from '../../../study/realDyes.ts';
import { drawPaper, inkOnPaper, type SimulatedInk } from '../../../study/simulatedColours.ts';
import { filmBench, findingOf, type FilmBench } from '../filmBench.ts';

const SEED = 324;
const random = seededRandom(SEED);
// Far from the eye: its map is off in the dark, by 0.008 here.
const world = filmWorld(SEED);
const { ink } = drawOpacityInk(SEED, random);
const paper = drawPaper('white', random);
const print = paper.map(() => 0.04);
const DOSE = 1.4;
const map = compileCalibration(world.calibration);
const { input } = swabOf(ink);

function swabOf(one: SimulatedInk): FilmBench {
  const doses = [0.08, 0.14, 0.24, 0.4, 0.65, 1].map((d) => 1.5 * d);
  return filmBench(world, one, [paper], [{ id: 'swab', paper: 0, doses, kind: 'swab' }]);
}

function signalsOf(over: SimulatedInk, under = over): BarSignals {
  return {
    paper: world.signal(paper),
    print: world.signal(print),
    onPaper: world.signal(inkOnPaper(under, DOSE, paper)),
    onPrint: world.signal(inkOnPaper(over, DOSE, print)),
    uDark: 0,
  };
}

const luminance = ([r, g, b]: BarSignals['paper']): number => signalToXyz([r, g, b], map)[1];

const byMapOf = ({ onPrint, onPaper }: BarSignals): number => luminance(onPrint) / luminance(onPaper);

function told(signals: BarSignals, mapU = 0.03, regions = input): Quantity {
  const byMap: Quantity = {
    quantity: 'contrastRatio',
    subject: { regions: ['bar'] },
    value: byMapOf(signals),
    unit: '1',
    u: Math.hypot(0.001, mapU, 0.001),
    uParts: { repeatability: 0.001, calibration: mapU, placement: 0.001 },
    flags: [],
    method: 'contrastRatio/4',
  };
  const bars = [{ region: 'bar', signals }];
  return findingOf(
    measureFilm({ ...regions, bars, findings: [...regions.findings, byMap] }).findings,
    'contrastRatio',
    'bar',
  );
}

describe('a bar through the film', () => {
  const truth = xyzOnGrid(inkOnPaper(ink, DOSE, print))[1] / xyzOnGrid(inkOnPaper(ink, DOSE, paper))[1];

  test('is nearer the truth than by the map, and says by how much', () => {
    const { value, u, method, byMap } = told(signalsOf(ink));
    const error = Math.abs(Number(value) - truth);
    expect(method).toBe('contrastRatio-film/6');
    expect(byMap?.method).toBe('contrastRatio/4');
    expect(error).toBeLessThan(0.5 * Math.abs(Number(byMap?.value) - truth));
    expect(error).toBeLessThan(2 * Number(u));
    expect(Number(u)).toBeLessThan(0.007);
  });

  test('is the surest mean of the fit and of the map that reads straightened signals; none is surer than the dark that both read', () => {
    const signals = signalsOf(ink);
    const [onPrint, onPaper] = [signals.onPrint, signals.onPaper].map((one) =>
      straightened(one, world.sensors.spectra.bends),
    );
    const map = byMapOf({ ...signals, onPrint, onPaper });
    expect(Math.abs(map - truth)).toBeLessThan(0.75 * Math.abs(byMapOf(signals) - truth));
    const away = (one: Quantity): number => Math.abs(Number(one.value) - map);
    const [unsure, sure] = [told(signals), told(signals, 0.002)];
    // What shares half of a doubt and is more than twice as unsure says nothing.
    expect(told(signals, 0.01).value).toBe(unsure.value);
    expect(away(sure)).toBeLessThan(0.3 * away(unsure));
    expect(Number(sure.value)).toBeGreaterThan(map);
    expect(Number(sure.u)).toBeLessThan(Number(unsure.u));
    expect(Number(told({ ...signals, uDark: 0.05 }).u)).toBeGreaterThan(Number(unsure.u) + 0.005);
  });

  test('of a bright pigment is not told surer than its scatter leaves open', () => {
    const pigment = pigmentsByName().get('cadmium_orange')!;
    const top = Math.max(...pigment.k);
    const own = { k: pigment.k.map((v) => v / top), scatter: pigment.s.map((v) => v / top) };
    const { method, value, u } = told(signalsOf(own), 0.03, swabOf(own).input);
    expect(method).toBe('contrastRatio-film/6');
    expect(Number(u)).toBeGreaterThan(0.02 * Number(value));
  });

  test('of what is no such ink stays the map’s', () => {
    const stranger = { k: ink.k.toReversed(), scatter: 0.6 };
    expect(told(signalsOf(stranger, ink)).method).toBe('contrastRatio/4');
  });
});

test('two ways that share half of their errors: their mean is hardly surer than either, and one twice as unsure has no say', () => {
  const mean = weighed({ value: 0.2, u: 0.02 }, { value: 0.24, u: 0.02 });
  expect(mean.value).toBeCloseTo(0.22, 12);
  // Two variances of a quarter and what they share, another quarter.
  expect(mean.u).toBeCloseTo(0.02 * Math.sqrt(0.75), 12);
  const surer = { value: 0.2, u: 0.02 };
  const nearly = weighed(surer, { value: 0.24, u: 0.038 });
  expect(nearly.value).toBeGreaterThan(0.2);
  expect(nearly.u).toBeLessThan(0.02);
  for (const u of [0.04, 0.09]) {
    for (const both of [weighed(surer, { value: 0.24, u }), weighed({ value: 0.24, u }, surer)]) {
      expect(both.value).toBeCloseTo(0.2, 12);
      expect(both.u).toBeCloseTo(0.02, 12);
    }
  }
});
