/** A strip's dyes over a writing sample of the same ink: which of them makes the ring around the strokes, and how much of each lies where. */
import { dyesOfWriting } from '../analysis/measure/strip/dyesOfWriting.ts';
import { measureStrip } from '../analysis/measure/strip/measureStrip.ts';
import { dyesOf } from '../analysis/measure/strip/unmix.ts';
import type { LinearRaster } from '../analysis/raster/raster.ts';
import { normal, seededRandom } from '../analysis/seededRandom.ts';
import { density, drawStrip, givenDistances, PLAIN_LOOK, type StripLook } from '../tests/strip/drawStrip.ts';
import { nominal } from '../tests/strip/judgeStrip.ts';
import { DYE_COLOURS } from '../tests/strip/randomStrip.ts';
import { simulateRun } from '../tests/strip/simulateRun.ts';
import { between } from './draw.ts';

type Triple = readonly [number, number, number];

interface Found {
  readonly zone: 'core' | 'ring';
  readonly optics: StripLook['optics'];
  readonly error: number;
  readonly u: number;
}

interface Trial {
  readonly optics: StripLook['optics'];
  readonly found: readonly Found[];
  /** The dye with the largest part of the ring's density; null: the strip did not show as many bands as dyes. */
  readonly named: boolean | null;
}

const DPI = 300;
const [WIDTH, HEIGHT] = [200, 180];
/** Half a stroke's width, and how far the ring goes beyond it, px. */
const STROKE = 30;
const RING = 12;
/** K/S of a quarter halves white paper's signal about as a density of 0.3 does. */
const LAYER_STRENGTH = 0.25;

export function dyesOfWritingPage(seeds: number, first: number): string {
  const trials = Array.from({ length: seeds }, (_, k) => trial(first + k));
  const told = trials.filter((t) => t.named !== null);
  const rows = (['absorbance', 'layer'] as const).flatMap((optics) =>
    (['core', 'ring'] as const).map((zone) => {
      const found = told.flatMap((t) => t.found).filter((f) => f.zone === zone && f.optics === optics);
      return line(`${zone === 'core' ? 'middle of the strokes' : 'ring'}, ${LAWS[optics]}`, found);
    }),
  );
  const right = (optics: StripLook['optics']): string => {
    const own = told.filter((t) => t.optics === optics);
    return `${own.filter((t) => t.named).length} of ${own.length} where ${LAWS[optics]}`;
  };
  return [
    '# A strip’s dyes over writing',
    '',
    `Made by \`npm run study dyes-of-writing ${seeds} ${first}\`: an ink of two or three dyes is run on a simulated strip (tests/strip/simulateRun.ts) and drawn as a stroke of all of them with a ring in`,
    'which one of them has run ahead and of the others there is little. Strip and writing lie on one paper, with fibres and noise, and are read through one calibration. Amounts in units of what',
    `lies at each dye’s crown on the strip. ${told.length} of ${trials.length} strips showed as many bands as dyes; the others are left out.`,
    '',
    '| amounts of each dye | n | median error | 90th percentile | mean error | median u | within ± 2u |',
    '| --- | --- | --- | --- | --- | --- | --- |',
    ...rows,
    '',
    `The dye that makes most of the ring is named rightly: ${right('absorbance')}, ${right('layer')}.`,
    '',
  ].join('\n');
}

const LAWS = { absorbance: 'densities add', layer: 'K/S adds' } as const;

function trial(seed: number): Trial {
  const random = seededRandom(seed * 6151 + 3);
  const optics = seed % 2 === 0 ? 'absorbance' : 'layer';
  const look: StripLook = {
    ...PLAIN_LOOK,
    optics,
    seed,
    fibres: between(random, 0.006, 0.014),
    noise: between(random, 0.002, 0.006),
  };
  const count = random() < 0.5 ? 2 : 3;
  const places = [0.25, 0.52, 0.8].slice(0, count).map((rF) => rF + between(random, -0.06, 0.06));
  const order = DYE_COLOURS.map((colour) => ({ colour, key: random() })).toSorted((a, b) => a.key - b.key);
  const strength = optics === 'layer' ? LAYER_STRENGTH : 1;
  const colours = places.map((_, d): Triple => {
    const { colour } = order[d];
    return [colour[0] * strength, colour[1] * strength, colour[2] * strength];
  });
  const dyes = places.map((mobile) => ({ mobile, dose: between(random, 1.5, 5), fixed: between(random, 0, 0.08) }));
  const run = simulateRun(dyes, { runMm: look.runMm, spotMm: 2.5, dispersivityMm: 0.06, stepMm: 0.2 });
  const crowns = run.dyes.map(({ moved }) => moved.reduce((most, v) => Math.max(most, v), 0));
  const measure = measureStrip(
    {
      id: `strip-${seed}`,
      signal: drawStrip(run, colours, look),
      calibration: nominal,
      travel: look.travel,
      ...givenDistances(look),
      run: null,
    },
    { repeats: 12 },
  );
  // In units of the crowns: all dyes in the stroke, one ahead in the ring.
  const stroke = crowns.map(() => between(random, 0.3, 1.2));
  const ahead = Math.floor(random() * count);
  const ring = stroke.map(
    (amount, d) => amount * (d === ahead ? between(random, 0.15, 0.4) : between(random, 0, 0.02)),
  );
  if (measure.bands.length !== count) return { optics, found: [], named: null };
  const drawn = drawWriting(
    { stroke: stroke.map((v, d) => v * crowns[d]), ring: ring.map((v, d) => v * crowns[d]) },
    colours,
    look,
    random,
  );
  const told = dyesOfWriting({
    ...drawn,
    calibration: nominal,
    dyes: dyesOf(measure),
    toldBy: measure.law === 'layer' ? 'layer' : 'channels',
    haloMm: (RING * 25.4) / DPI,
  });
  const found = (['core', 'ring'] as const).flatMap((zone): Found[] => {
    const own = told?.zones.find((z) => z.zone === zone);
    const truth = zone === 'core' ? stroke : ring;
    return own ? own.amounts.map((amount, d) => ({ zone, optics, error: amount - truth[d], u: own.u[d] })) : [];
  });
  const shares = told?.zones.find((z) => z.zone === 'ring')?.shares ?? [];
  // Most of the density, as the shares are: of two dyes with traces a pale one may be ahead and bring less.
  const brought = ring.map((v, d) =>
    [0, 1, 2].reduce((sum, c) => sum + density(v * crowns[d] * colours[d][c], 1, look.paper[c], optics), 0),
  );
  return { optics, found, named: largest(shares) === largest(brought) };
}

function largest(values: readonly number[]): number {
  return values.indexOf(Math.max(...values));
}

/** A stroke across the picture with a ring on either side of it, amounts as concentrations. */
function drawWriting(
  amounts: { readonly stroke: readonly number[]; readonly ring: readonly number[] },
  colours: readonly Triple[],
  look: StripLook,
  random: () => number,
): { signal: LinearRaster; inked: Uint8Array } {
  const data = new Float32Array(3 * WIDTH * HEIGHT);
  const inked = new Uint8Array(WIDTH * HEIGHT);
  const signalOf = (own: readonly number[], c: number): number => {
    const strength = own.reduce((sum, v, d) => sum + v * colours[d][c], 0);
    return look.paper[c] * 10 ** -density(strength, 1, look.paper[c], look.optics);
  };
  const bare = colours.map(() => 0);
  const rows = [amounts.stroke, amounts.ring, bare].map((own) => [0, 1, 2].map((c) => signalOf(own, c)));
  for (let y = 0; y < HEIGHT; y++) {
    const off = Math.abs(y + 0.5 - HEIGHT / 2);
    const zone = off < STROKE ? 0 : off < STROKE + RING ? 1 : 2;
    for (let x = 0; x < WIDTH; x++) {
      const i = y * WIDTH + x;
      if (zone === 0) inked[i] = 1;
      const fibre = 1 + look.fibres * normal(random);
      for (let c = 0; c < 3; c++) data[3 * i + c] = rows[zone][c] * fibre + look.noise * look.paper[c] * normal(random);
    }
  }
  const clipped = new Uint8Array(WIDTH * HEIGHT);
  return { signal: { data, widthPx: WIDTH, heightPx: HEIGHT, dpi: DPI, originPx: [0, 0], clipped }, inked };
}

function line(name: string, found: readonly Found[]): string {
  const sorted = found.map((f) => Math.abs(f.error)).toSorted((a, b) => a - b);
  const at = (share: number): string => (sorted[Math.floor(share * sorted.length)] ?? 0).toPrecision(2);
  const mean = found.reduce((sum, f) => sum + f.error, 0) / Math.max(1, found.length);
  const us = found.map((f) => f.u).toSorted((a, b) => a - b);
  const covered = found.filter((f) => Math.abs(f.error) <= 2 * f.u).length / Math.max(1, found.length);
  const u = (us[us.length >> 1] ?? 0).toPrecision(2);
  return `| ${name} | ${found.length} | ${at(0.5)} | ${at(0.9)} | ${mean.toPrecision(2)} | ${u} | ${(100 * covered).toFixed(1)} % |`;
}
