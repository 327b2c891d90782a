/** The fit on drawn inks with exact truth; many more seeds in study/film.ts. */
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { differenceDoubt, filmColour } from '../../analysis/film/filmColour.ts';
import { fitFilm } from '../../analysis/film/fitFilm.ts';
import { xyzOnGrid } from '../../analysis/film/grid.ts';
import { shippedInkPrior } from '../../analysis/film/inkPrior.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { filmWorld } from '../../study/filmWorlds.ts';
import { trial } from '../../study/filmTrial.ts';
import { drawAbsorption, drawInk, drawPaper, inkOnPaper } from '../../study/simulatedColours.ts';
import { straightened } from '../../analysis/film/bend.ts';

const DOSES = [0.12, 0.25, 0.45, 0.8, 1.2, 1.7, 2.2];
const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1];

const worlds = [201, 205, 207, 208].map((seed) => filmWorld(seed));

function drawn(seed: number) {
  const random = seededRandom(seed);
  const ink = drawInk(drawAbsorption(random), random);
  return { ink, papers: [drawPaper('white', random), drawPaper('cream', random)] };
}

describe('against exact truth', () => {
  const trials = worlds.map((world) => {
    const { ink, papers } = drawn(world.seed);
    return trial(world, world.sensors.spectra, ink, papers, [DOSES, DOSES.map((d) => 0.9 * d)], shippedInkPrior());
  });

  test('over the gradient the fit is nearer than the target’s map, and near', () => {
    const film = trials.flatMap((t) => t.film.errors);
    const map = trials.flatMap((t) => t.map.errors);
    expect(median(film)).toBeLessThan(0.7 * median(map));
    expect(median(film)).toBeLessThan(0.8);
  });

  test('± 2u holds the truth, and is not so wide that it always would', () => {
    const covered = trials.map((t) => t.film.covered ?? 0);
    expect(covered.reduce((a, b) => a + b, 0) / covered.length).toBeGreaterThan(0.85);
    for (const { film } of trials) {
      const u = film.fit!.regions.map((_, i) => filmColour(film.fit!, i).u);
      expect(median(u.map((v) => Math.hypot(...v)))).toBeLessThan(3);
    }
  });

  test('a difference between colours holds the truth as well, from dose to dose and from sheet to sheet, and not always by far', () => {
    const near = trials.flatMap(({ film: { fit } }, n) => {
      const colours = fit!.regions.map((_, i) => filmColour(fit!, i));
      const { ink, papers } = drawn(worlds[n].seed);
      const truths = fit!.regions.map(({ paper, dose }) =>
        xyzToLab(
          xyzOnGrid(
            dose === null ? papers[paper] : inkOnPaper(ink, (paper ? 0.9 : 1) * DOSES[dose % 7], papers[paper]),
          ),
        ),
      );
      const first = papers.length;
      return DOSES.flatMap((_, i) =>
        [first + ((i + 3) % 7), first + i + 7].flatMap((other) =>
          [0, 1, 2].map((k) => {
            const along = [0, 1, 2, 3, 4, 5].map((at) => (at === k ? 1 : at === k + 3 ? -1 : 0));
            const [a, b] = [first + i, other];
            const off = colours[a].lab[k] - colours[b].lab[k] - (truths[a][k] - truths[b][k]);
            return Math.abs(off) / differenceDoubt(fit!, colours[a], colours[b], along);
          }),
        ),
      );
    });
    expect(near.filter((z) => z <= 2).length / near.length).toBeGreaterThan(0.88);
    expect(near.filter((z) => z <= 0.5).length / near.length).toBeLessThan(0.75);
  });

  test('chi-square is that of a sound ink', () => {
    for (const { film } of trials) expect(film.fit!.chiSquare / film.fit!.signals).toBeLessThan(0.1);
  });
});

test('ink of six times the usual dose keeps the scale of its k(λ), for a wet pen makes all samples dense', () => {
  const scale = (world: (typeof worlds)[number], times: number): number => {
    const { ink, papers } = drawn(world.seed);
    const doses = DOSES.map((dose) => times * dose);
    const { film } = trial(world, world.sensors.spectra, ink, papers.slice(0, 1), [doses], shippedInkPrior());
    return Math.max(...film.fit!.state.ink.k);
  };
  expect(median(worlds.map((world) => scale(world, 6) / scale(world, 1)))).toBeLessThan(1.3);
});

describe('properties', () => {
  const [world] = worlds;
  const sensors = world.sensors.spectra;
  const { ink, papers } = drawn(7);
  const straight = (r: ArrayLike<number>) => straightened(world.signal(Float64Array.from(r)), sensors.bends);
  const input = {
    papers: [{ signal: straight(papers[0]) }],
    regions: DOSES.map((dose, i) => ({ id: `d${i}`, paper: 0, signal: straight(inkOnPaper(ink, dose, papers[0])) })),
  };
  const fit = fitFilm(input, sensors);

  test('the order of regions changes nothing', () => {
    const turned = fitFilm({ ...input, regions: input.regions.toReversed() }, sensors);
    const there = filmColour(fit, 1).lab;
    const back = filmColour(turned, turned.regions.length - 1).lab;
    expect(deltaE2000(there, back)).toBeLessThan(1e-9);
  });

  test('doses come out in the order that they were laid', () => {
    const doses = fit.regions.flatMap(({ dose }) => (dose === null ? [] : [fit.state.z[fit.state.at.doses + dose]]));
    expect([...doses].sort((a, b) => a - b)).toEqual(doses);
  });

  test('a difference within one fit is surer than its ends', () => {
    const [a, b] = [filmColour(fit, 3), filmColour(fit, 4)];
    const u = differenceDoubt(fit, a, b, [1, 0, 0, -1, 0, 0]);
    expect(u).toBeLessThan(Math.hypot(a.u[0], b.u[0]) * 1.2);
    expect(u).toBeGreaterThan(0);
  });

  test('another ink among the regions raises its own chi-square above the rest', () => {
    const foreign = drawInk(drawAbsorption(seededRandom(99)), seededRandom(98));
    const spoilt = fitFilm(
      {
        ...input,
        regions: input.regions.map((r, i) =>
          i === 4 ? { ...r, signal: straight(inkOnPaper(foreign, 0.8, papers[0])) } : r,
        ),
      },
      sensors,
    );
    expect(spoilt.chiSquare).toBeGreaterThan(3 * fit.chiSquare);
    const worst = spoilt.regionChiSquare.indexOf(Math.max(...spoilt.regionChiSquare));
    expect(worst).toBe(1 + 4);
  });

  test('more noise assumed makes wider doubts', () => {
    const wide = fitFilm(input, sensors, { noise: 3 });
    expect(Math.hypot(...filmColour(wide, 4).u)).toBeGreaterThan(Math.hypot(...filmColour(fit, 4).u));
  });

  test('fewer starts or iterations give another minimum at most by a little, and say when they stopped short', () => {
    const short = fitFilm(input, sensors, { starts: 1, iterations: 1 });
    expect(short.converged).toBe(false);
    expect(fit.converged).toBe(true);
  });

  test('bare paper comes back as it was seen', () => {
    const lab = filmColour(fit, 0).lab;
    const truth = xyzToLab(xyzOnGrid(papers[0]));
    expect(deltaE2000(lab, truth)).toBeLessThan(0.2);
  });
});
