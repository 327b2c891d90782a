/** Strips from simulated runs (advection, dispersion, sorption: not the fit's own shapes) against their exact truth. */
import { judge, measureTrue } from '../tests/strip/judgeStrip.ts';
import { drawStrip } from '../tests/strip/drawStrip.ts';
import { randomStrip, type TrueStrip } from '../tests/strip/randomStrip.ts';
import { simulateRun } from '../tests/strip/simulateRun.ts';

interface Figure {
  readonly error: number;
  readonly u: number;
}

/** Strips whose neighbours are at least so well parted are also told apart in number. */
const PARTED = 0.8;

export function stripStudy(seeds: number): string {
  const groups: Record<'rF' | 'share' | 'width' | 'tail' | 'origin', Figure[]> = {
    rF: [],
    share: [],
    width: [],
    tail: [],
    origin: [],
  };
  let parted = 0;
  let counted = 0;
  for (let seed = 20_001; seed <= 20_000 + seeds; seed++) {
    const strip = randomStrip(seed);
    const found = judge(strip, measureTrue(strip));
    groups.rF.push(...found.rF);
    groups.share.push(...found.share);
    groups.width.push(...found.width);
    groups.tail.push(...found.tail);
    if (found.origin) groups.origin.push(found.origin);
    if (strip.leastResolution < PARTED) continue;
    parted++;
    if (found.countRight) counted++;
  }
  let blanks = 0;
  for (let seed = 30_001; seed <= 30_000 + seeds; seed++) {
    if (measureTrue(blankStrip(seed)).bands.length === 0) blanks++;
  }
  return [
    '# Strips: simulated runs',
    '',
    `Made by \`npm run study strip ${seeds}\`: ${seeds} strips with one to four dyes from a numeric scheme of advection, dispersion and sorption (tests/strip/simulateRun.ts),`,
    'with wobble, fibres, noise, pencil line and tideline, origin and front given; on these seeds nothing was tuned. Shares in points of percent, width as a share of itself.',
    '',
    '| figure | n | median error | 90th percentile | mean error | median u | within ± 2u |',
    '| --- | --- | --- | --- | --- | --- | --- |',
    ...Object.entries(groups).map(([name, figures]) => line(name, figures)),
    '',
    `Number of bands right: ${counted} of ${parted} strips whose neighbours are at least R_s = ${PARTED} apart. No band on ${blanks} of ${seeds} blank strips.`,
    '',
  ].join('\n');
}

/** The same paper, pencil line, tideline, fibres and noise as a random strip, and nothing on it. */
function blankStrip(seed: number): TrueStrip {
  const strip = randomStrip(seed, { dyes: 1 });
  const { look } = strip;
  const nothing = simulateRun([{ mobile: 0.5, dose: 0, fixed: 0 }], {
    runMm: look.runMm,
    spotMm: 2,
    dispersivityMm: 0.05,
  });
  return { ...strip, raster: drawStrip(nothing, [[1, 1, 1]], look) };
}

function line(name: string, figures: readonly Figure[]): string {
  const errors = figures.map((f) => Math.abs(f.error)).toSorted((a, b) => a - b);
  const at = (p: number) => errors[Math.min(errors.length - 1, Math.floor(p * errors.length))];
  const mean = figures.reduce((sum, f) => sum + f.error, 0) / figures.length;
  const us = figures.map((f) => f.u).toSorted((a, b) => a - b);
  const covered = figures.filter((f) => Math.abs(f.error) <= 2 * f.u).length / figures.length;
  const numbers = [at(0.5), at(0.9), mean, us[us.length >> 1]].map((v) => v.toPrecision(2));
  return `| ${name} | ${figures.length} | ${numbers.join(' | ')} | ${(100 * covered).toFixed(1)} % |`;
}
