/** Signals that a device cut at black bound the light from above, and say no more. */
import { expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { straightened } from '../../analysis/film/bend.ts';
import { blackLevels } from '../../analysis/film/cutSignals.ts';
import { filmColour } from '../../analysis/film/filmColour.ts';
import { fitFilm } from '../../analysis/film/fitFilm.ts';
import { WAVELENGTHS_NM } from '../../analysis/film/grid.ts';
import { signalNoise } from '../../analysis/film/signalNoise.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { filmWorld } from '../../study/filmWorlds.ts';
import { drawInk, drawPaper, inkOnPaper } from '../../study/simulatedColours.ts';

test('three patches at one lowest signal were cut there; single dark ones were not', () => {
  const bright = [
    [0.8, 0.7, 0.6],
    [0.3, 0.2, 0.4],
    [0.1, 0.09, 0.2],
  ] as const;
  const cut = [0.0053, 0.0053, 0.0055].map((b, i) => [0.2 + 0.1 * i, 0.3, b] as const);
  const [r, g, b] = blackLevels([...bright, ...cut]);
  expect([r, g]).toEqual([0.004, 0.004]);
  expect(b).toBeGreaterThan(0.0055);
  expect(b).toBeLessThan(0.01);
  expect(blackLevels([...bright, ...cut.slice(0, 2)])[2]).toBe(0.004);
  // Three dark ones that differ by more than 0.0012 are three dark ones.
  const dark = (third: number) => [0.0053, 0.0058, third].map((b) => [0.2, 0.3, b] as const);
  expect(blackLevels([...bright, ...dark(0.0064)])[2]).toBeCloseTo(0.0065, 9);
  expect(blackLevels([...bright, ...dark(0.0067)])[2]).toBe(0.004);
});

test('a signal below what a device may cut says only that it is small', () => {
  const [cut, dark, middling] = [0.002, 0.004, 0.5].map(signalNoise);
  expect(cut).toBeGreaterThan(5 * dark);
  // A signal's own share of it: 0.6 %.
  expect(middling).toBeGreaterThan(dark);
  expect(middling / 0.5).toBeLessThan(0.01);
});

test('dense yellows whose blue was cut come out as if it had not been', () => {
  const world = filmWorld(211);
  const { spectra: sensors } = world.sensors;
  const ink = drawInk(
    WAVELENGTHS_NM.map((nm) => 0.005 + 0.995 * Math.exp(-(((nm - 440) / 42) ** 2) / 2)),
    seededRandom(3),
  );
  const paper = drawPaper('white', seededRandom(5));
  const straight = (r: ArrayLike<number>) => straightened(world.signal(Float64Array.from(r)), sensors.bends);
  const whole = {
    papers: [{ signal: straight(paper) }],
    regions: [0.12, 0.25, 0.45, 0.8, 1.2, 1.7, 2.2].map((dose) => ({
      id: `${dose}`,
      paper: 0,
      signal: straight(inkOnPaper(ink, dose, paper)),
    })),
  };
  const level = 0.3;
  const cut = {
    ...whole,
    regions: whole.regions.map((region) => {
      const [r, g, b] = region.signal;
      return { ...region, signal: [r, g, Math.max(b, level)] as const };
    }),
  };
  expect(cut.regions.filter(({ signal }) => signal[2] === level).length).toBeGreaterThanOrEqual(2);
  const [r, g] = sensors.black;
  const known = { ...sensors, black: [r, g, level + 0.001] as const };
  const off = (fit: ReturnType<typeof fitFilm>): number => {
    const truth = fitFilm(whole, sensors);
    return Math.max(
      ...whole.regions.map((_, i) => deltaE2000(filmColour(fit, 1 + i).lab, filmColour(truth, 1 + i).lab)),
    );
  };
  const told = fitFilm(cut, known);
  expect(off(told)).toBeLessThan(0.5 * off(fitFilm(cut, sensors)));
  expect(told.chiSquare / told.signals).toBeLessThan(0.05);
});
