/** Where the fit begins: inks of the prior's list whose colours at some dose come nearest to what was seen. */
import type { FilmInput } from './fitFilm.ts';
import { GRID } from './grid.ts';
import type { InkPrior } from './inkPrior.ts';
import { layerReflectance } from './layer.ts';
import { seen, type Sensors } from './sensors.ts';

const DOSES = Array.from({ length: 16 }, (_, i) => 0.03 * (12 / 0.03) ** (i / 15));
const SCATTER = 0.025;
/** Regions looked at: more would say the same. */
const MOST_REGIONS = 12;

export interface Start {
  readonly k: Float64Array;
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
): Start[] {
  const every = Math.max(1, Math.ceil(regions.length / MOST_REGIONS));
  const looked = regions.filter((_, i) => i % every === 0);
  const papers = [...new Set(looked.map(({ paper }) => paper))];
  const logs = looked.map(({ signal }) => signal.map(logged));
  const best: { k: Float64Array; cost: number }[] = [];
  for (const k of prior.starts) {
    const tables = new Map(papers.map((paper) => [paper, logSignals(k, grounds[paper], sensors)]));
    let cost = 0;
    for (let i = 0; i < looked.length; i++) cost += nearestDose(tables.get(looked[i].paper)!, logs[i]).away;
    if (best.length < count || cost < best[best.length - 1].cost) {
      best.push({ k, cost });
      best.sort((a, b) => a.cost - b.cost);
      if (best.length > count) best.pop();
    }
  }
  return best.map(({ k }) => {
    const tables = grounds.map((ground) => logSignals(k, ground, sensors));
    return {
      k,
      doses: regions.map(({ paper, signal }) => DOSES[nearestDose(tables[paper], signal.map(logged)).dose]),
    };
  });
}

/** 16 × 3 logarithms of signals. */
function logSignals(k: Float64Array, ground: Float64Array, sensors: Sensors): Float64Array {
  const out = new Float64Array(DOSES.length * 3);
  const r = new Float64Array(GRID.count);
  for (let d = 0; d < DOSES.length; d++) {
    for (let l = 0; l < GRID.count; l++) r[l] = layerReflectance(ground[l], DOSES[d] * k[l], DOSES[d] * SCATTER);
    for (let c = 0; c < 3; c++) out[3 * d + c] = logged(seen(sensors.curves, c, r));
  }
  return out;
}

function nearestDose(table: Float64Array, log: readonly number[]): { dose: number; away: number } {
  let dose = 0;
  let away = Infinity;
  for (let d = 0; d < DOSES.length; d++) {
    const sum = (table[3 * d] - log[0]) ** 2 + (table[3 * d + 1] - log[1]) ** 2 + (table[3 * d + 2] - log[2]) ** 2;
    if (sum < away) {
      away = sum;
      dose = d;
    }
  }
  return { dose, away };
}

/** Signals near black say little by their logarithm. */
function logged(signal: number): number {
  return Math.log(Math.max(signal, 0) + 0.004);
}
