/** The shape of a strip's lane: where it wanders, how its edges blur and its bands bow, where pencil and tideline run. */
import { erf } from './erf.ts';
import { stream } from './random.ts';
import { drawLattice, drawWander, latticeAt, wanderAt } from './smoothNoise.ts';

/** Distances in mm: along the travel from the strip's starting end, aside of its middle line. */
export interface Lane {
  readonly originAt: number;
  readonly frontAt: number;
  readonly halfMm: number;
  at(along: number, aside: number): { height: number; fill: number };
  tide(aside: number): number;
  pencil(along: number, aside: number): number;
}

export function laneOf(seed: number, run: string, originAt: number, travelledMm: number): Lane {
  const random = stream(seed, `lane/${run}`);
  const halfMm = random.range(4, 5.6);
  const offset = random.range(-0.8, 0.8);
  const wobble = drawWander(random, 120, 22);
  const breadth = drawWander(random, 120, 14);
  const lag = drawWander(random, 60, 3);
  const cloud = drawLattice(random, { leftMm: -15, topMm: 0, widthMm: 30, heightMm: 110 }, 1.4, 2.2);
  const tide = drawWander(random, 60, 3.5);
  const through = random.uniform() < 0.4;
  const grain = drawLattice(random, { leftMm: -15, topMm: 0, widthMm: 30, heightMm: 110 }, 0.18, 0.12);
  const lean = random.range(-0.006, 0.006);
  const pencilHalf = random.range(0.13, 0.2);
  const soot = random.range(0.3, 0.5);
  const softening = random.range(0.012, 0.026);
  const bow = random.range(-0.1, 0.8);
  return {
    originAt,
    frontAt: originAt + travelledMm,
    halfMm,
    at: (along, aside) => {
      const x = aside - offset - 0.45 * wanderAt(wobble, along);
      // Liquid runs a little slower near the lane's edges, so what has moved bows; the spot itself lies straight.
      const moved = Math.min(1, Math.max(0, (along - originAt) / 12));
      const height = along - originAt + moved * (0.1 * wanderAt(lag, aside + 20) + bow * (x / halfMm) ** 2);
      const soft = 0.45 + softening * Math.max(0, height);
      const half = halfMm * (1 + 0.03 * wanderAt(breadth, along));
      const flat = 0.5 * (erf((x + half) / soft) - erf((x - half) / soft));
      return { height, fill: flat * (1 + 0.02 * latticeAt(cloud, aside, along)) };
    },
    tide: (aside) => 0.25 * wanderAt(tide, aside + 20),
    pencil: (along, aside) => {
      const beside = Math.abs(aside - offset) - halfMm - 1.2;
      if (!through && beside < 0) return 0;
      const d = Math.abs(along - originAt - lean * aside) - pencilHalf;
      if (d > 0.12) return 0;
      const cover = d < 0 ? 1 : 1 - d / 0.12;
      return soot * cover * Math.max(0, Math.min(1, 0.85 + 0.22 * latticeAt(grain, aside, along)));
    },
  };
}
