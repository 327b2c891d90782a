/** Where the fit begins: inks of the prior's list whose colours at some dose come nearest to what was seen. */
import type { FilmInput } from './fitFilm.ts';
import { GRID } from './grid.ts';
import type { InkKind, InkPrior, InkStart } from './inkPrior.ts';
import type { Sensors } from './sensors.ts';

const COUNT = GRID.count;
/** Each dose is twice the one before, so that its light is that one's squared. */
const FIRST_DOSE = 0.03;
const DOSES = 10;
/** Regions looked at: more would say the same. */
const MOST_REGIONS = 12;

export interface Start {
  readonly kind: InkKind;
  readonly ink: InkStart;
  /** One a region of the input. */
  readonly doses: readonly number[];
}

/** @param grounds one a paper */
export function bestStarts(
  { regions }: FilmInput,
  sensors: Sensors,
  grounds: readonly Float64Array[],
  prior: InkPrior,
  count: number,
  pigments: number,
): Start[] {
  // The paper with most doses tells what is near as well as all do, in a third of the time (seeds 100–163).
  const counts = grounds.map((_, paper) => regions.filter((one) => one.paper === paper).length);
  const fullest = counts.indexOf(Math.max(...counts));
  const own = regions.filter(({ paper }) => paper === fullest);
  const every = Math.max(1, Math.ceil(own.length / MOST_REGIONS));
  const looked = own.filter((_, i) => i % every === 0);
  const seenLogs = regions.map(({ signal }) => Float64Array.from(signal, logged));
  const lookedLogs = looked.map(({ signal }) => Float64Array.from(signal, logged));
  const tables = grounds.map(() => new Float64Array(DOSES * 3));
  const near: Nearest = { dose: 0, away: 0 };
  const best = prior.kinds.map((kind) => {
    let nearest = kind.starts[0];
    let least = Infinity;
    for (const ink of kind.starts) {
      logSignals(ink, grounds[fullest], sensors.curves, tables[fullest]);
      let cost = 0;
      for (let i = 0; i < looked.length; i++) {
        nearestDose(tables[fullest], lookedLogs[i], near);
        cost += near.away;
      }
      if (cost < least) {
        least = cost;
        nearest = ink;
      }
    }
    return { kind, ink: nearest, cost: least };
  });
  best.sort((a, b) => a.cost - b.cost);
  const most = [count, pigments];
  return best
    .filter(({ kind }) => most[Number(kind.pigment)]-- > 0)
    .map(({ kind, ink }) => {
      grounds.forEach((ground, paper) => logSignals(ink, ground, sensors.curves, tables[paper]));
      return {
        kind,
        ink,
        doses: regions.map(({ paper }, i) => {
          nearestDose(tables[paper], seenLogs[i], near);
          return FIRST_DOSE * 2 ** near.dose;
        }),
      };
    });
}

const light = new Float64Array(COUNT);
const thick = new Float64Array(COUNT);
const reflected = new Float64Array(COUNT);

/** Logarithms of signals, dose by dose. The layer is the exact one's limit of little scatter: good to a few per cent, enough to begin with. */
function logSignals({ k, scatter }: InkStart, ground: Float64Array, curves: Float64Array, out: Float64Array): void {
  for (let l = 0; l < COUNT; l++) {
    const g = Math.sqrt(k[l] * (k[l] + 2 * scatter[l]));
    light[l] = Math.exp(-2 * FIRST_DOSE * g);
    // What a thick layer throws back (Kubelka & Munk 1931).
    thick[l] = scatter[l] / (scatter[l] + k[l] + g + 1e-12);
  }
  for (let d = 0; d < DOSES; d++) {
    for (let l = 0; l < COUNT; l++) reflected[l] = thick[l] + light[l] * (ground[l] - thick[l]);
    for (let c = 0; c < 3; c++) {
      let sum = 0;
      const from = c * COUNT;
      for (let l = 0; l < COUNT; l++) sum += curves[from + l] * reflected[l];
      out[3 * d + c] = logged(sum);
    }
    for (let l = 0; l < COUNT; l++) light[l] *= light[l];
  }
}

interface Nearest {
  /** Doublings of the first dose, with a fraction. */
  dose: number;
  away: number;
}

/** On the chords between the table's doses. */
function nearestDose(table: Float64Array, log: Float64Array, out: Nearest): void {
  out.away = Infinity;
  for (let d = 0; d + 1 < DOSES; d++) {
    const at = 3 * d;
    let along = 0;
    let length = 0;
    for (let c = 0; c < 3; c++) {
      const way = table[at + 3 + c] - table[at + c];
      along += way * (log[c] - table[at + c]);
      length += way * way;
    }
    const share = length > 0 ? Math.min(1, Math.max(0, along / length)) : 0;
    let away = 0;
    for (let c = 0; c < 3; c++) {
      const off = log[c] - table[at + c] - share * (table[at + 3 + c] - table[at + c]);
      away += off * off;
    }
    if (away >= out.away) continue;
    out.away = away;
    out.dose = d + share;
  }
}

/** Signals near black say little by their logarithm. */
function logged(signal: number): number {
  return Math.log(Math.max(signal, 0) + 0.004);
}
