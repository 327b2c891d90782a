import { seededRandom } from '../analysis/seededRandom.ts';
import { between, normal } from './draw.ts';
import { filmWorld } from './filmWorlds.ts';
import { trial } from './filmTrial.ts';
import { drawAbsorption, drawInk, drawPaper, mixDyes } from './simulatedColours.ts';
import { realDyes } from './realDyes.ts';
import { inkPrior } from './filmPriors/make.ts';
const dyes = realDyes();
const priors = [0, 1].map((half) => inkPrior(dyes.filter((_, i) => i % 2 === half)));
for (let seed = Number(process.argv[2]); seed < Number(process.argv[3]); seed++) {
  const world = filmWorld(seed);
  const random = seededRandom(seed * 31 + 5);
  const half = seed % 2;
  for (const family of ['lobes', 'dyes'] as const)
    for (let n = 0; n < 2; n++) {
      const other = dyes.filter((_, i) => i % 2 !== half);
      const ink = drawInk(family === 'lobes' ? drawAbsorption(random) : mixDyes(other, random), random);
      const papers = (['white', 'cream', 'dyed'] as const).map((k) => drawPaper(k, random));
      const top = between(random, 1, 3);
      const doses = papers.map(() =>
        Array.from({ length: 7 }, (_, i) => top * 0.06 * (1 / 0.06) ** (i / 6) * Math.exp(0.1 * normal(random))).sort(
          (a, b) => a - b,
        ),
      );
      const t = trial(world, world.sensors.spectra, ink, papers, doses, priors[half]);
      const f = t.film.fit!;
      const med = (x: readonly number[]) => [...x].sort((a, b) => a - b)[x.length >> 1];
      console.log(
        seed,
        world.target,
        world.lamp,
        world.sensors.spectra.lamp,
        family,
        'map',
        med(t.map.errors).toFixed(2),
        'film',
        med(t.film.errors).toFixed(2),
        'chi',
        f.chiSquare.toFixed(0),
        f.pigmented ? 'pig' : '',
        f.converged ? '' : 'NOT',
        'S',
        ink.scatter.toFixed(3),
        f.state.ink.S[18].toFixed(3),
      );
      if (med(t.film.errors) > 0.9) {
        console.log(
          '   map ',
          t.map.errors
            .slice(0, 7)
            .map((v) => v.toFixed(1))
            .join(' '),
          '| film',
          t.film.errors.map((v) => v.toFixed(1)).join(' '),
        );
        const m = Math.max(...f.state.ink.k);
        console.log(
          '   k  ',
          ink.k
            .filter((_, i) => i % 2 === 0)
            .map((v) => v.toFixed(2))
            .join(' '),
        );
        console.log(
          '   fit',
          [...f.state.ink.k]
            .filter((_, i) => i % 2 === 0)
            .map((v) => (v / m).toFixed(2))
            .join(' '),
        );
      }
    }
}
