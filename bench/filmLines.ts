/** The target's map against the film fit, side by side, by scanner and ink family: whether anything broke, not what is reached (docs/study/film.md). */
import { mean, quantile } from '../study/film.ts';
import { dyeOutcomes, type Outcome, pigmentOutcomes } from '../study/filmOutcomes.ts';
import { filmWorld } from '../study/filmWorlds.ts';

const CASES = [
  ['spectra', 3],
  ['spectra', 1],
  ['lab', 3],
] as const;
const WORDS = { spectra: 'spectra', lab: 'Lab alone' } as const;

export function filmLines(seeds: number, first: number): string[] {
  const worlds = Array.from({ length: seeds }, (_, i) => filmWorld(first + i));
  const outcomes = worlds.flatMap((world) => [...dyeOutcomes(world, 1, CASES), ...pigmentOutcomes(world)]);
  const families = [...new Set(outcomes.map(familyOf))].sort();
  return [
    `Film fit against the target's map, ${seeds} seeds, ΔE00 median / 90th percentile over all doses:`,
    line('', 'map', 'film', 'a fit'),
    ...CASES.flatMap(([known, papers]) =>
      (['ordinary', 'drawn'] as const).flatMap((scanner) =>
        lineOf(
          `${scanner} scanners, ${WORDS[known]}, ${papers === 3 ? 'three papers' : 'one sheet'}`,
          outcomes.filter((o) => o.known === known && o.papers === papers && o.world.scanner === scanner),
        ),
      ),
    ),
    ...families.flatMap((family) =>
      lineOf(
        family,
        outcomes.filter((o) => o.known === 'spectra' && o.papers === 3 && familyOf(o) === family),
      ),
    ),
    `A target's sensors: ${milliseconds(worlds.map(({ sensorsMs }) => sensorsMs.spectra))} with spectra known, ` +
      `${milliseconds(worlds.map(({ sensorsMs }) => sensorsMs.lab))} with Lab alone. Aim: 300 ms, as for a fit.`,
  ];
}

function familyOf({ ink, family }: Outcome): string {
  return ink === 'real dyes' ? `${family} dyes` : ink;
}

function lineOf(what: string, outcomes: readonly Outcome[]): string[] {
  if (outcomes.length === 0) return [];
  const errors = (way: 'map' | 'film'): string => {
    const all = outcomes.flatMap((o) => o[way].errors);
    return `${quantile(all, 0.5).toFixed(2)} / ${quantile(all, 0.9).toFixed(2)}`;
  };
  return [line(what, errors('map'), errors('film'), milliseconds(outcomes.map((o) => o.film.ms)))];
}

function milliseconds(values: readonly number[]): string {
  return `${mean(values).toFixed(0)} ms`;
}

function line(what: string, map: string, film: string, ms: string): string {
  return what.padEnd(46) + map.padStart(14) + film.padStart(14) + ms.padStart(10);
}
