import { seededRandom } from '../analysis/seededRandom.ts';
import { between, normal } from './draw.ts';
import { filmWorld } from './filmWorlds.ts';
import { trial } from './filmTrial.ts';
import { drawAbsorption, drawInk, drawPaper, mixDyes } from './simulatedColours.ts';
import { realDyes } from './realDyes.ts';
import { inkPrior } from './filmPriors/make.ts';
const dyes = realDyes();
const priors = [0, 1].map((half) => inkPrior(dyes.filter((_, i) => i % 2 === half)));
const [from, to] = process.argv.slice(2).map(Number);
const worlds = Array.from({ length: to - from }, (_, i) => filmWorld(from + i));
const q = (v: number[], p: number) => {
  const s = [...v].sort((a, b) => a - b);
  return s[Math.min(s.length - 1, Math.floor(p * s.length))];
};
const settings: [string, { doubt: number; noise: number; starts?: number; iterations?: number; sens?: 'lab' }][] = [
  ['base', { doubt: 6, noise: 1 }],
  ['no doubt', { doubt: 0, noise: 1 }],
  ['noise .5', { doubt: 6, noise: 0.5 }],
  ['no doubt noise .5', { doubt: 0, noise: 0.5 }],
  ['noise 1.5', { doubt: 6, noise: 1.5 }],
  ['starts 10 it 50', { doubt: 6, noise: 1, starts: 10, iterations: 50 }],
  ['lab base', { doubt: 6, noise: 1, sens: 'lab' }],
  ['lab noise 2', { doubt: 6, noise: 2, sens: 'lab' }],
];
for (const [name, o] of settings) {
  const out: Record<string, { e: number[]; c: number[]; b: number[] }> = {};
  for (const world of worlds) {
    const random = seededRandom(world.seed * 31 + 5);
    const half = world.seed % 2;
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
        const s0 = world.sensors[o.sens ?? 'spectra'];
        const s = { ...s0, doubt: s0.doubt.slice(0, o.doubt) };
        for (const k of [3, 1]) {
          const t = trial(world, s, ink, papers.slice(0, k), doses.slice(0, k), priors[half], {
            noise: o.noise,
            ...(o.starts && { starts: o.starts }),
            ...(o.iterations && { iterations: o.iterations }),
          });
          const key = `${family}${k}`;
          out[key] ??= { e: [], c: [], b: [] };
          out[key].e.push(...t.film.errors);
          out[key].c.push(t.film.covered!);
          const m = (x: readonly number[]) => x.reduce((a, b) => a + b, 0) / x.length;
          out[key].b.push(m(t.film.errors) < m(t.map.errors) ? 1 : 0);
        }
      }
  }
  const m = (x: readonly number[]) => x.reduce((a, b) => a + b, 0) / x.length;
  console.log(
    name.padEnd(20),
    Object.entries(out)
      .map(
        ([k, v]) =>
          `${k} ${q(v.e, 0.5).toFixed(2)}/${q(v.e, 0.9).toFixed(2)} c${m(v.c).toFixed(2)} b${m(v.b).toFixed(2)}`,
      )
      .join('  '),
  );
}
