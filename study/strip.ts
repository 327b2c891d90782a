/** Strips from simulated runs (advection, dispersion, sorption: not the fit's own shapes) against their exact truth. */
import { chroma, hueDeg, hueDifferenceDeg, labD50 } from '../analysis/colour/lab.ts';
import { deltaE2000 } from '../analysis/colour/deltaE.ts';
import { seededRandom } from '../analysis/seededRandom.ts';
import { judge, measureTrue, parting, TOLD_APART, type StripVerdict } from '../tests/strip/judgeStrip.ts';
import { drawStrip, type StripLook } from '../tests/strip/drawStrip.ts';
import { randomStrip, type TrueStrip } from '../tests/strip/randomStrip.ts';
import { simulateRun } from '../tests/strip/simulateRun.ts';

interface Figure {
  readonly error: number;
  /** null: not asked of. */
  readonly u: number | null;
}

/** Strips whose neighbours are at least so well parted are also told apart in number. */
const PARTED = 0.8;
const FAINTEST_HUE = 10;
const BLANKS = 200;
/** Beyond the first seed: where blank strips begin, and those with two dyes close. */
const BLANK_SEEDS = 100_000;
const CLOSE_SEEDS = 200_000;
/** Where only the number of bands is asked for. */
const FEW_REPEATS = { repeats: 3 };

interface Group {
  readonly title: string;
  readonly figures: Map<string, Figure[]>;
  parted: number;
  counted: number;
}

/** @param first of its seeds; blank and close strips come from seeds beyond, of their own. */
export function stripStudy(seeds: number, first: number): string {
  const groups = [
    gathered('fresh, origin and front given', seeds, first, (seed) => [randomStrip(seed, { run: 'fresh' }), 'given']),
    gathered('dried, origin and front given', seeds, first, (seed) => [randomStrip(seed, { run: 'dried' }), 'given']),
    gathered('fresh, all found by its lines', seeds, first, (seed) => [
      randomStrip(seed, { run: 'fresh', look: lines(seed) }),
      'found',
    ]),
    gathered('bent by up to 3 mm and leaning by up to 3°, all found', seeds, first, (seed) => [
      randomStrip(seed, { run: 'fresh', look: { ...lines(seed), ...bent(seed) } }),
      'found',
    ]),
  ];
  let blanks = 0;
  for (let seed = first + BLANK_SEEDS; seed < first + BLANK_SEEDS + BLANKS; seed++) {
    if (measureTrue(blankStrip(seed)).bands.length === 0) blanks++;
  }
  return [
    '# Strips: simulated runs',
    '',
    `Made by \`npm run study strip ${seeds} ${first}\`: ${seeds} strips a table with one to four dyes from a numeric scheme of advection, dispersion and sorption (tests/strip/simulateRun.ts),`,
    'with wobble, fibres, noise, pencil line and tideline; on these seeds nothing was tuned. Shares in points of percent, width and resolution as shares of themselves, colour in ΔE00 at the',
    `band’s peak, hue in degrees from C* ${FAINTEST_HUE} on. Where the ends are found, every third front is a pencil tick instead of a tideline, and half the origins are ink lines.`,
    `Two dyes closer than R_s = ${TOLD_APART} need not be told apart: where they make one band, its place, width, tail and share are held against what both make together, since a`,
    'band’s share is defined as the band’s, not as a dye’s. Where they are told apart each is held against its own. The row “each dye’s own” holds every dye’s share against the nearest',
    'band’s all the same: so far off is who takes such a band for one dye. The last row leaves out strips with dyes that near. The u of a share does not cover a neighbour that is hidden',
    'so: no band of one colour and one crown betrays it.',
    '',
    ...groups.flatMap(tableOf),
    `No band on ${blanks} of ${BLANKS} blank strips.`,
    '',
    ...closeLines(seeds, first + CLOSE_SEEDS),
    '',
  ].join('\n');
}

function gathered(
  title: string,
  seeds: number,
  first: number,
  make: (seed: number) => [TrueStrip, 'given' | 'found'],
): Group {
  const group: Group = { title, figures: new Map(), parted: 0, counted: 0 };
  for (let seed = first; seed < first + seeds; seed++) {
    const [strip, ends] = make(seed);
    const verdict = judge(strip, measureTrue(strip, undefined, ends));
    add(group, strip, verdict, ends);
  }
  return group;
}

function add(group: Group, strip: TrueStrip, verdict: StripVerdict, ends: 'given' | 'found'): void {
  const { measure } = verdict;
  const put = (name: string, figures: readonly Figure[]): void => {
    group.figures.set(name, [...(group.figures.get(name) ?? []), ...figures]);
  };
  put('rF', verdict.rF);
  put('share', verdict.share);
  put('share, each dye’s own', verdict.shareOfNearest);
  if (strip.leastResolution >= TOLD_APART) put(`share, R_s ≥ ${TOLD_APART}`, verdict.share);
  put('width', verdict.width);
  put('tail', verdict.tail);
  put('resolution', verdict.resolution);
  if (verdict.origin) put('originRetained', [verdict.origin]);
  const pairs = strip.bands.flatMap((truth) => {
    const near = measure.bands.filter((b) => b.rF !== null && Math.abs(b.rF.value - truth.rF) < 0.04)[0];
    return near === undefined ? [] : [{ truth, found: labD50(...near.colour) }];
  });
  put(
    'colour',
    pairs.map(({ truth, found }) => ({ error: deltaE2000(found, truth.lab), u: null })),
  );
  put(
    'hue',
    pairs
      .filter(({ truth }) => chroma(truth.lab) >= FAINTEST_HUE)
      .map(({ truth, found }) => ({ error: hueDifferenceDeg(hueDeg(truth.lab), hueDeg(found)), u: null })),
  );
  if (ends === 'found') {
    const at = (name: string, mm: number | null, truth: number): void =>
      put(name, [{ error: mm === null ? Number.POSITIVE_INFINITY : mm - truth, u: null }]);
    at('origin, mm', measure.originMm, strip.originMm);
    at('front, mm', measure.frontMm, strip.frontMm);
  }
  if (strip.leastResolution < PARTED) return;
  group.parted++;
  if (verdict.countRight) group.counted++;
}

/** Lines to find the ends by. */
function lines(seed: number): Partial<StripLook> {
  const random = seededRandom(seed * 31 + 5);
  return {
    pencil: 0.1 + 0.3 * random(),
    tideline: 0.02 + 0.04 * random(),
    frontLine: seed % 3 === 0 ? 'tick' : 'tideline',
    ...(seed % 2 === 0 && { originInk: [0.1 + random(), 0.2 + random(), 0.2 + random()] as const }),
  };
}

function bent(seed: number): Partial<StripLook> {
  const random = seededRandom(seed * 37 + 11);
  return { bendMm: 6 * random() - 3, leanDeg: 6 * random() - 3, bedMm: 5 };
}

/** Two neighbours nearer than the rest: how many dyes were told, by how well they are parted. */
function closeLines(seeds: number, first: number): string[] {
  const classes = [0.4, 0.6, 0.8].map((from) => ({ from, strips: 0, right: 0, more: 0 }));
  for (let seed = first; seed < first + seeds; seed++) {
    const strip = randomStrip(seed, { dyes: 4, apart: 0.06 });
    const gaps = strip.bands.slice(1).map((b, i) => parting(strip.bands[i], b, strip.look.runMm));
    const least = Math.min(...gaps);
    const own = classes.findLast(({ from }) => least >= from);
    if (own === undefined || strip.leastResolution < least) continue;
    const found = measureTrue(strip, FEW_REPEATS).bands.length;
    own.strips++;
    if (found === strip.bands.length) own.right++;
    if (found > strip.bands.length) own.more++;
  }
  return [
    'Four dyes of unlike colours, two of them close (R_s by half-height widths):',
    '',
    '| least R_s | strips | number right | too many |',
    '| --- | --- | --- | --- |',
    ...classes.map(({ from, strips, right, more }, i) => {
      const to = classes[i + 1]?.from;
      return `| ${from}${to === undefined ? ' and more' : ` to ${to}`} | ${strips} | ${right} | ${more} |`;
    }),
  ];
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

function tableOf({ title, figures, parted, counted }: Group): string[] {
  return [
    `## ${title[0].toUpperCase()}${title.slice(1)}`,
    '',
    '| figure | n | median error | 90th percentile | mean error | median u | within ± 2u |',
    '| --- | --- | --- | --- | --- | --- | --- |',
    ...[...figures].map(([name, found]) => line(name, found)),
    '',
    `Number of bands right: ${counted} of ${parted} strips whose neighbours are at least R_s = ${PARTED} apart.`,
    '',
  ];
}

function line(name: string, figures: readonly Figure[]): string {
  const errors = figures.map((f) => Math.abs(f.error)).toSorted((a, b) => a - b);
  const at = (p: number): number => errors[Math.min(errors.length - 1, Math.floor(p * errors.length))];
  const mean = figures.reduce((sum, f) => sum + f.error, 0) / figures.length;
  const us = figures.flatMap((f) => f.u ?? []).toSorted((a, b) => a - b);
  const covered = figures.filter((f) => Math.abs(f.error) <= 2 * (f.u ?? 0)).length / figures.length;
  const text = (v: number): string => (Number.isFinite(v) ? v.toPrecision(2) : 'lost');
  const doubt = us.length === 0 ? ['', ''] : [text(us[us.length >> 1]), `${(100 * covered).toFixed(1)} %`];
  return `| ${name} | ${figures.length} | ${[text(at(0.5)), text(at(0.9)), text(mean), ...doubt].join(' | ')} |`;
}
