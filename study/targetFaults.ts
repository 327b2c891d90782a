/**
 * What is told of sound targets and of faulty ones: `npm run study faults`. The limits of analysis/calibrate/cautions.ts, covered.ts and
 * agreement.ts were chosen on seeds below 140; what is shown comes from above 1000.
 */
import { lightnessAgreement } from '../analysis/calibrate/agreement.ts';
import type { Calibration, PatchReading, SurroundReading, TargetReference } from '../analysis/calibrate/calibration.ts';
import { CalibrationError } from '../analysis/calibrate/calibrationError.ts';
import { colorantsOf } from '../analysis/calibrate/colorants.ts';
import { fitCalibration } from '../analysis/calibrate/fit.ts';
import { normal, seededRandom } from '../analysis/seededRandom.ts';
import { type CalibrationWorld, drawnWorld, type Reflectance, sampleWorld } from './calibrationWorlds.ts';
import { between } from './draw.ts';
import { WAVELENGTHS } from './spectra.ts';

type Triple = readonly [number, number, number];

/** A target lying on the bed: patches dealt out over a grid, each with the scatter of its pixels, bare card around. */
export interface Scene {
  readonly world: CalibrationWorld;
  readonly readings: readonly PatchReading[];
  readonly reference: TargetReference;
  readonly surround: readonly SurroundReading[];
  readonly random: () => number;
}

const PITCH_MM = 9.4;
const FIRST_UNSEEN = 1001;

/** @param light relative light over the bed in mm; left out: a curved lamp of up to some per cent. */
export function sceneOf(
  world: CalibrationWorld,
  seed: number,
  light?: (xMm: number, yMm: number, channel: number) => number,
): Scene {
  const random = seededRandom(seed * 104729 + 7);
  const across = [0, 1, 2].map(() => between(random, -0.02, 0.02));
  const bow = between(random, -0.03, 0);
  const noise = between(random, 0.001, 0.004);
  const grain = between(random, 0, 0.02);
  const columns = Math.ceil(Math.sqrt(2 * world.readings.length));
  const lamp =
    light ?? ((x: number, _y: number, c: number) => 1 + across[c] * ((x - 108) / 108) + bow * ((x - 108) / 108) ** 2);
  const scan = (r: Reflectance, x: number, y: number): Triple => {
    const own = [0, 1, 2].map((c) => world.device(scaled(r, lamp(x, y, c)))[c] * (1 + 0.0003 * normal(random)));
    return clippedTo1([own[0], own[1], own[2]]);
  };
  const order = dealt(world.readings.length, random);
  const readings = world.readings.map((reading, i): PatchReading => {
    const x = 20 + PITCH_MM * (order[i] % columns);
    const y = 20 + PITCH_MM * Math.floor(order[i] / columns);
    const device = scan(world.spectra[i], x, y);
    // Grain of print is strongest half way between paper and full ink.
    const own = noise + grain * 4 * device[1] * (1 - device[1]) * between(random, 0.5, 1);
    const sd: Triple = [own * between(random, 0.8, 1.2), own, own * between(random, 0.8, 1.2)];
    const evenness = { quarterSpread: own * between(random, 0.1, 0.4), strayShare: between(random, 0, 0.01) };
    return clippedReading({ ...reading, device, sd, centreMm: [x, y], evenness });
  });
  const white = world.spectra[readings.reduce((best, r, i) => (r.device[1] > readings[best].device[1] ? i : best), 0)];
  const rows = Math.ceil(readings.length / columns);
  const surround = Array.from({ length: (columns + 1) * (rows + 1) }, (_, i): SurroundReading => {
    const x = 20 + PITCH_MM * ((i % (columns + 1)) - 0.5);
    const y = 20 + PITCH_MM * (Math.floor(i / (columns + 1)) - 0.5);
    return { device: scan(white, x, y), pixels: 400, placeMm: [x, y] };
  });
  return { world, readings, reference: world.reference, surround, random };
}

interface Fault {
  readonly name: string;
  /** What of these counts as told. */
  readonly expected: readonly string[];
  readonly spoil: (scene: Scene, seed: number) => Scene;
}

const SKIN = WAVELENGTHS.map((nm) => 0.12 + 0.38 / (1 + Math.exp(-(nm - 585) / 18)));
const NOTE = WAVELENGTHS.map(() => 0.86);

export const FAULTS: readonly Fault[] = [
  { name: 'a finger on 8 % of the patches', expected: ['covered'], spoil: (s) => under(s, SKIN, 0.08) },
  { name: 'a white note on 8 %', expected: ['covered'], spoil: (s) => under(s, NOTE, 0.08) },
  { name: 'a white note on 40 %', expected: ['covered', 'other-target'], spoil: (s) => under(s, NOTE, 0.4) },
  { name: 'two patches’ values exchanged in the reference', expected: ['covered'], spoil: exchanged },
  { name: 'every value one patch further in the reference', expected: ['other-target', 'covered'], spoil: shifted },
  { name: 'the reference in reverse, as upside down', expected: ['other-target'], spoil: reversed },
  { name: 'another target’s reference, other dyes', expected: ['other-target', 'covered', 'poor'], spoil: anothers },
  { name: 'overexposed: light × 1.6', expected: ['overexposed', 'covered'], spoil: (s, n) => lit(s, n, () => 1.6) },
  { name: 'underexposed: light × 0.12', expected: ['underexposed'], spoil: (s, n) => lit(s, n, () => 0.12) },
  { name: 'black point raised over dark patches', expected: ['underexposed', 'clipped'], spoil: crushed },
  {
    name: 'a shadow of a third over one side, no bare card to tell',
    expected: ['uneven-light'],
    spoil: (s, n) => ({ ...lit(s, n, shadow), surround: [] }),
  },
  { name: 'the same with bare card', expected: ['uneven-light'], spoil: (s, n) => lit(s, n, shadow) },
  { name: 'pixels that scatter by 4 % of the scale', expected: ['noisy'], spoil: noisy },
  { name: 'a negative', expected: ['negative'], spoil: negative },
];

/** Codes of the cautions, the refusal, and the judgement when it is 'poor'. */
export function toldOf(scene: Scene): { readonly codes: readonly string[]; readonly calibration: Calibration | null } {
  try {
    const c = fitCalibration(scene.readings, scene.reference, { surround: scene.surround });
    const codes = c.cautions.map(({ code }) => code as string);
    return { codes: c.judgement === 'poor' ? [...codes, 'poor'] : codes, calibration: c };
  } catch (error) {
    if (!(error instanceof CalibrationError)) throw error;
    return { codes: [error.code, 'refused'], calibration: null };
  }
}

export function targetFaultsStudy(seeds: number): string {
  const worldsOf = [
    ['Drawn scanners, three kinds of target', drawnWorld],
    ['The sample scans’ scanners and card', sampleWorld],
  ] as const;
  return [
    '# Targets with something wrong, and sound ones',
    '',
    `Made by \`study/targetFaults.ts\`: ${2 * seeds} sound targets of either world and ${Math.ceil(seeds / 4)} with each fault, on seeds from ${FIRST_UNSEEN} on;`,
    'limits were chosen on seeds below 140. Patches lie shuffled on a grid, the lamp is uneven by up to some per cent, print has grain. "told": the',
    'caution or refusal that fits; "held back": refused or judged poor, so that no number leaves unflagged. A sound target that is told "clipped" has',
    'patches so strong that the simulated scanner’s matrix drives a channel to an end of the scale: no false alarm.',
    '',
    ...worldsOf.flatMap(([title, make]) => [
      `## ${title}`,
      '',
      ...soundTable(make, 2 * seeds),
      '',
      ...faultTable(make, Math.ceil(seeds / 4)),
      '',
    ]),
    '## Few dyes or many pigments',
    '',
    ...colorantsTable(seeds),
    '',
  ].join('\n');
}

export function soundTable(make: (seed: number) => CalibrationWorld, count: number): string[] {
  const codes = new Map<string, number>();
  let alarms = 0;
  let lowest = 1;
  for (let i = 1; i <= count; i++) {
    const seed = FIRST_UNSEEN + i;
    const scene = sceneOf(make(seed), seed);
    const found = toldOf(scene).codes.filter((code) => code !== 'few-dyes' && code !== 'poor');
    if (found.length > 0) alarms++;
    for (const code of found) codes.set(code, (codes.get(code) ?? 0) + 1);
    lowest = Math.min(lowest, lightnessAgreement(scene.readings, scene.reference));
  }
  const each = [...codes].map(([code, n]) => `${code} ${n}`).join(', ');
  return [
    `Sound: ${alarms} of ${count} were told something (${each || 'nothing'}). Lowest rank correlation of lightness: ${lowest.toFixed(3)}.`,
  ];
}

export function faultTable(make: (seed: number) => CalibrationWorld, count: number): string[] {
  const rows = FAULTS.map(({ name, expected, spoil }) => {
    let told = 0;
    let held = 0;
    for (let i = 1; i <= count; i++) {
      const seed = FIRST_UNSEEN + i;
      const { codes } = toldOf(spoil(sceneOf(make(seed), seed), seed));
      if (expected.some((code) => codes.includes(code))) told++;
      if (codes.includes('refused') || codes.includes('poor')) held++;
    }
    return `| ${name} | ${percent(told / count)} | ${percent(held / count)} |`;
  });
  return ['| fault | told | held back |', '| --- | --- | --- |', ...rows];
}

export function colorantsTable(seeds: number): string[] {
  const rows = new Map<string, { spectra: string[]; greys: string[] }>();
  for (let i = 1; i <= 3 * Math.ceil(seeds / 3); i++) {
    for (const make of [drawnWorld, sampleWorld]) {
      if (make === sampleWorld && i % 3 > 0) continue;
      const seed = FIRST_UNSEEN + i;
      const world = make(seed);
      const own = rows.get(world.target) ?? { spectra: [], greys: [] };
      rows.set(world.target, own);
      const ids = world.readings.map(({ id }) => id);
      const patches = new Map(
        ids.map((id, n) => {
          const values = [...world.spectra[n]];
          return [id, { ...world.reference.patches.get(id)!, reflectance: { firstNm: 380, stepNm: 10, values } }];
        }),
      );
      own.spectra.push(colorantsOf({ patches }, ids, null).kind);
      own.greys.push(toldOf(sceneOf(world, seed)).calibration?.colorants.kind ?? 'refused');
    }
  }
  const counts = (kinds: readonly string[]): string =>
    ['few-dyes', 'varied', 'cannot-tell']
      .map((kind) => percent(kinds.filter((k) => k === kind).length / kinds.length))
      .join(' / ');
  return [
    'Share told few dyes / varied / cannot tell.',
    '',
    '| target | by spectra | by Lab and greys |',
    '| --- | --- | --- |',
    ...[...rows].map(([target, { spectra, greys }]) => `| ${target} | ${counts(spectra)} | ${counts(greys)} |`),
  ];
}

/** Lays something of one reflectance over the patches nearest to a place. */
function under(scene: Scene, reflectance: readonly number[], share: number): Scene {
  const { readings, world, random } = scene;
  const [x, y] = readings[Math.floor(random() * readings.length)].centreMm;
  const near = readings
    .map((reading) => Math.hypot(reading.centreMm[0] - x, reading.centreMm[1] - y))
    .map((distance, i) => [distance, i] as const)
    .sort((a, b) => a[0] - b[0])
    .slice(0, Math.max(2, Math.round(share * readings.length)));
  const covered = new Set(near.map(([, i]) => i));
  const grid = world.spectra[0].length;
  const seen = clippedTo1(world.device(resampled(reflectance, grid)));
  return {
    ...scene,
    readings: readings.map((reading, i) => (covered.has(i) ? { ...reading, device: seen } : reading)),
  };
}

function withReference(scene: Scene, of: (ids: readonly string[], i: number) => string): Scene {
  const ids = scene.readings.map(({ id }) => id);
  const patches = new Map(ids.map((id, i) => [id, scene.reference.patches.get(of(ids, i))!]));
  return { ...scene, reference: { patches } };
}

function exchanged(scene: Scene): Scene {
  const n = scene.readings.length;
  const first = Math.floor(scene.random() * n);
  const known = (i: number) => scene.reference.patches.get(scene.readings[i].id)!.lab;
  const away = (i: number) => Math.hypot(...[0, 1, 2].map((k) => known(i)[k] - known(first)[k]));
  const second = scene.readings.map((_, i) => i).find((i) => away((i + first) % n) > 40) ?? 1;
  const other = (second + first) % n;
  return withReference(scene, (ids, i) => ids[i === first ? other : i === other ? first : i]);
}

function shifted(scene: Scene): Scene {
  return withReference(scene, (ids, i) => ids[(i + 1) % ids.length]);
}

function reversed(scene: Scene): Scene {
  // By place, as a target that lies upside down shows its patches.
  const byPlace = [...scene.readings].sort((a, b) => a.centreMm[1] - b.centreMm[1] || a.centreMm[0] - b.centreMm[0]);
  const at = new Map(byPlace.map(({ id }, i) => [id, byPlace[byPlace.length - 1 - i].id]));
  return withReference(scene, (ids, i) => at.get(ids[i])!);
}

function anothers(scene: Scene, seed: number): Scene {
  if (scene.world.target === 'sample card') return { ...scene, reference: sampleWorld(seed + 2).reference };
  // Same size, next kind: 18 seeds later all three sizes and kinds have come round; 6 later only the kind has.
  for (let other = seed + 1; ; other++) {
    const world = drawnWorld(other);
    if (world.readings.length === scene.readings.length && world.target !== scene.world.target)
      return { ...scene, reference: world.reference };
  }
}

function shadow(x: number, y: number): number {
  return 1 - 0.33 / (1 + Math.exp(-(x + 0.3 * y - 90) / 25));
}

function lit(scene: Scene, seed: number, light: (x: number, y: number) => number): Scene {
  return sceneOf(scene.world, seed, light);
}

function crushed(scene: Scene): Scene {
  const sorted = scene.readings.map(({ device }) => Math.max(...device)).sort((a, b) => a - b);
  const black = sorted[Math.floor(0.1 * sorted.length)];
  return withDevice(scene, (value) => (value - black) / (1 - black));
}

function noisy(scene: Scene): Scene {
  return { ...scene, readings: scene.readings.map((reading) => ({ ...reading, sd: [0.04, 0.04, 0.04] })) };
}

function negative(scene: Scene): Scene {
  return withDevice(scene, (value) => 1 - value);
}

function withDevice(scene: Scene, of: (value: number) => number): Scene {
  const readings = scene.readings.map((reading): PatchReading => {
    const [r, g, b] = reading.device.map(of);
    return clippedReading({ ...reading, device: [r, g, b] });
  });
  const surround = scene.surround.map((reading): SurroundReading => {
    const [r, g, b] = reading.device.map(of);
    return { ...reading, device: clippedTo1([r, g, b]) };
  });
  return { ...scene, readings, surround };
}

function clippedReading(reading: PatchReading): PatchReading {
  const out = reading.device.some((value) => value <= 0 || value >= 1);
  return { ...reading, device: clippedTo1(reading.device), clippedShare: out ? 1 : 0 };
}

function clippedTo1([r, g, b]: Triple): Triple {
  return [Math.min(1, Math.max(0, r)), Math.min(1, Math.max(0, g)), Math.min(1, Math.max(0, b))];
}

function scaled(r: Reflectance, factor: number): Float64Array {
  return Float64Array.from(r, (value) => value * factor);
}

function resampled(values: readonly number[], count: number): number[] {
  return Array.from({ length: count }, (_, i) => {
    const at = (i * (values.length - 1)) / (count - 1);
    const low = Math.min(values.length - 2, Math.floor(at));
    return values[low] + (at - low) * (values[low + 1] - values[low]);
  });
}

function dealt(count: number, random: () => number): number[] {
  const order = Array.from({ length: count }, (_, i) => i);
  for (let i = count - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [order[i], order[j]] = [order[j], order[i]];
  }
  return order;
}

function percent(share: number): string {
  return `${(100 * share).toFixed(0)} %`;
}
