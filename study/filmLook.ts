import { seededRandom } from '../analysis/seededRandom.ts';
import { between, normal } from './draw.ts';
import { filmWorld } from './filmWorlds.ts';
import { trial, type Way } from './filmTrial.ts';
import { drawAbsorption, drawInk, drawPaper, mixDyes } from './simulatedColours.ts';
import { realDyes } from './realDyes.ts';
import { inkPrior } from './filmPriors/make.ts';

const [from, to, nDose] = process.argv.slice(2).map(Number);
const dyes = realDyes();
const priors = [0, 1].map((half) => inkPrior(dyes.filter((_, i) => i % 2 === half)));
const q = (v: number[], p: number) => {
  const s = [...v].sort((a, b) => a - b);
  return s.length ? s[Math.min(s.length - 1, Math.floor(p * s.length))] : NaN;
};
const rows = new Map<
  string,
  {
    errors: number[];
    shading: number[];
    tone: number[];
    cov: number[];
    paper: number[];
    ms: number[];
    better: number[];
    chi: number[];
  }
>();
const add = (name: string, w: Way, m: Way) => {
  const r = rows.get(name) ?? { errors: [], shading: [], tone: [], cov: [], paper: [], ms: [], better: [], chi: [] };
  rows.set(name, r);
  r.errors.push(...w.errors);
  r.shading.push(w.shading);
  r.tone.push(w.toneShift);
  r.paper.push(w.paper);
  r.ms.push(w.ms);
  if (w.covered !== null) r.cov.push(w.covered);
  const mean = (x: readonly number[]) => x.reduce((a, b) => a + b, 0) / x.length;
  r.better.push(mean(w.errors) <= mean(m.errors) ? 1 : 0);
  if (w.fit) r.chi.push(w.fit.chiSquare / w.fit.signals);
};
for (let seed = from; seed < to; seed++) {
  const world = filmWorld(seed);
  const random = seededRandom(seed * 31 + 5);
  const half = seed % 2;
  for (const family of ['lobes', 'dyes'] as const) {
    for (let n = 0; n < 2; n++) {
      const other = dyes.filter((_, i) => i % 2 !== half);
      const ink = drawInk(family === 'lobes' ? drawAbsorption(random) : mixDyes(other, random), random);
      const papers = (['white', 'cream', 'dyed'] as const).map((k) => drawPaper(k, random));
      const top = between(random, 1, 3);
      const doses = papers.map(() =>
        Array.from(
          { length: nDose },
          (_, i) => top * 0.06 * (1 / 0.06) ** (i / (nDose - 1)) * Math.exp(0.1 * normal(random)),
        ).sort((a, b) => a - b),
      );
      for (const known of ['spectra', 'lab'] as const) {
        const s = world.sensors[known];
        const three = trial(world, s, ink, papers, doses, priors[half]);
        const one = trial(world, s, ink, papers.slice(0, 1), doses.slice(0, 1), priors[half]);
        if (known === 'spectra') {
          add(`${family} map three`, three.map, three.map);
          add(`${family} map one`, one.map, one.map);
        }
        add(`${family} film three ${known}`, three.film, three.map);
        add(`${family} film one ${known}`, one.film, one.map);
      }
    }
  }
}
for (const [name, r] of rows) {
  const f = (v: number[]) => [0.5, 0.9, 0.95].map((p) => q(v, p).toFixed(2)).join(' / ');
  console.log(
    name.padEnd(28),
    f(r.errors),
    ' shade90',
    q(r.shading, 0.9).toFixed(2),
    ' tone90',
    q(r.tone, 0.9).toFixed(2),
    ' paper',
    q(r.paper, 0.5).toFixed(2),
    ' cov',
    r.cov.length ? (r.cov.reduce((a, b) => a + b, 0) / r.cov.length).toFixed(3) : '-',
    ' better',
    (r.better.reduce((a, b) => a + b, 0) / r.better.length).toFixed(2),
    'chi',
    q(r.chi, 0.5)?.toFixed?.(2),
    ' ms',
    q(r.ms, 0.5).toFixed(0),
  );
}
