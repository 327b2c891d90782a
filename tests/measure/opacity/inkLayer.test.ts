/** A layer that several kinds of ink would explain: their mean, with what lies between them in doubt. */
import { expect, test } from 'vitest';
import { deltaE2000 } from '../../../analysis/colour/deltaE.ts';
import { xyzToLab } from '../../../analysis/colour/lab.ts';
import { straightened } from '../../../analysis/film/bend.ts';
import { filmColour, sharesOf } from '../../../analysis/film/filmColour.ts';
import { fitFilm } from '../../../analysis/film/fitFilm.ts';
import { xyzOnGrid } from '../../../analysis/film/grid.ts';
import { layerReflectance } from '../../../analysis/film/layer.ts';
import { doseOf } from '../../../analysis/film/model.ts';
import { inkLayer, type LayerCurves } from '../../../analysis/measure/opacity/inkLayer.ts';
import { seededRandom } from '../../../analysis/seededRandom.ts';
import { filmWorld } from '../../../study/filmWorlds.ts';
import { drawAbsorption, drawInk, drawPaper, inkOnPaper } from '../../../study/simulatedColours.ts';

const DOSES = [0.2, 0.4, 0.7, 1];
const world = filmWorld(205);
const { spectra: sensors } = world.sensors;

function fitted(seed: number) {
  const random = seededRandom(seed);
  const ink = drawInk(drawAbsorption(random), random);
  const paper = drawPaper('white', random);
  const straight = (r: ArrayLike<number>) => straightened(world.signal(Float64Array.from(r)), sensors.bends);
  return fitFilm(
    {
      papers: [{ signal: straight(paper) }],
      regions: DOSES.map((dose, i) => ({ id: `${i}`, paper: 0, signal: straight(inkOnPaper(ink, dose, paper)) })),
    },
    sensors,
  );
}

const fits = [1, 2, 3, 4, 5, 6, 7, 8, 9].map(fitted);
const layerOf = (fit: (typeof fits)[number]) => inkLayer({ fit }, new Map(), () => ({ id: '', shares: [] }));
/** ΔE00 of the fit's regions, told by any curves, from what the fit tells of them. */
const off = (fit: (typeof fits)[number], { k, s }: LayerCurves): number =>
  DOSES.reduce((sum, _, i) => {
    const dose = doseOf(fit.state, i);
    const r = [...fit.state.grounds[0]].map((ground, l) => layerReflectance(ground, dose * k[l], dose * s[l]));
    return sum + deltaE2000(xyzToLab(xyzOnGrid(r)), filmColour(fit, 1 + i).lab) / DOSES.length;
  }, 0);

test('some of these inks are seen as several kinds', () => {
  expect(fits.filter(({ others }) => others.length > 1).length).toBeGreaterThan(2);
});

test('on the paper that it was seen on the layer has the fit’s colour, the mean over kinds, and not the likeliest ink’s', () => {
  const torn = fits.filter((fit) => sharesOf(fit)[0] < 0.9);
  const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);
  const mean = sum(torn.map((fit) => off(fit, layerOf(fit))));
  const likeliest = sum(torn.map((fit) => off(fit, { k: [...fit.state.ink.k], s: [...fit.state.ink.S] })));
  expect(mean).toBeLessThan(0.5 * likeliest);
});

test('each kind is one doubt more than the fit’s own unknowns leave, and nothing absorbs less than nothing', () => {
  for (const fit of fits) {
    const kinds = fit.others.length === 0 ? 0 : fit.others.length + 1;
    const { doubts } = layerOf(fit);
    expect(doubts).toHaveLength(fit.state.prior.modes.length + 1 + kinds);
    for (const { k, s } of doubts) expect(Math.min(...k, ...s)).toBeGreaterThanOrEqual(0);
  }
});
