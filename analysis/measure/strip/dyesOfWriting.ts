/**
 * Which of a strip's dyes lie where in a writing sample: in the middle of its strokes, along their edges, in the ring around them. Light is
 * averaged over each zone, and the zone's colour over the paper beside the strokes is unmixed.
 */
import { signalToXyz, type CompiledCalibration } from '../../calibrate/apply.ts';
import { coneSignals } from '../../colour/adapt.ts';
import { xyzToLab, type Xyz } from '../../colour/lab.ts';
import type { LabValue } from '../../quantity.ts';
import { distanceToInside, distanceToOutside } from '../../raster/distance.ts';
import { fitSurface, surfaceAt } from '../../raster/lowOrderSurface.ts';
import type { LinearRaster } from '../../raster/raster.ts';
import { triple } from '../../triple.ts';
import { DENSITIES_ADD, densitiesOf, layerAdds, type Addition } from './addition.ts';
import type { Heights } from './bands.ts';
import { amountsOf, type Dye, unmix } from './unmix.ts';

export interface WritingInput {
  readonly signal: LinearRaster;
  readonly calibration: CompiledCalibration;
  /** 1 where there is ink, a pixel of the signal each. */
  readonly inked: Uint8Array;
  readonly dyes: readonly Dye[];
  /**
   * How the dyes are told: by the scanner's channels (`dyesOf`) where strip and writing came through one calibration, since dyes add most
   * nearly there, by densities or, where the strip's own bands say so (`law`), as in a layer; else by their colours (`dyesByColour`).
   */
  readonly toldBy: 'channels' | 'layer' | 'colours';
  /** Where the ring ends, mm from the strokes' edges; null: no halo was seen, and the usual width is looked at. */
  readonly haloMm: number | null;
}

export type ZoneName = 'core' | 'edge' | 'ring';

export interface DyeZone {
  readonly zone: ZoneName;
  readonly areaMm2: number;
  readonly lab: LabValue;
  /** Density over the paper beside the strokes, three cone signals summed. */
  readonly density: number;
  /** One a dye: 1 is as much as lies at its band's crown. */
  readonly amounts: readonly number[];
  readonly u: readonly number[];
  /** Of the zone's density, what each dye brings, 0..1. */
  readonly shares: readonly number[];
  /** Above 2: another dye, or not these. */
  readonly misfit: number;
}

export interface DyeMap {
  readonly columns: number;
  readonly rows: number;
  readonly mmPerCell: number;
  /** One a dye, row by row. */
  readonly amounts: readonly Float32Array[];
}

export interface WritingDyes {
  /** Those that have pixels enough. */
  readonly zones: readonly DyeZone[];
  readonly map: DyeMap;
}

/** Without a halo that was seen, a ring this wide is looked at, mm (common practice, no source). */
const USUAL_RING_MM = 0.6;
/** A stroke's edge as scanned, mm: the scanner's blur on either side of it. */
const EDGE_MM = 0.085;
/** Paper further from strokes than this is bare, mm. */
const BARE_MM = 1.2;
/** Squares whose mean tells the paper there, mm. */
const PAPER_CELL_MM = 2;
/** Fewer pixels tell nothing of a zone. */
const LEAST_PIXELS = 40;
/** By so much the paper under the ink may differ from that beside it: density (what bare paper leaves of its own surface). */
const PAPER_U = 0.0015;
/** The map has no more cells than this. */
const MOST_CELLS = 24_000;
/** Signals below this are the scanner's dark end. */
const LEAST_SIGNAL = 1e-3;
/** Below this density a cell of the map is bare paper. */
const FAINT = 0.01;

/** Null: too little ink, or no bare paper beside it. */
export function dyesOfWriting(input: WritingInput): WritingDyes | null {
  const { signal, inked, calibration } = input;
  const { widthPx, heightPx, dpi } = signal;
  const pxMm = 25.4 / dpi;
  const mask = { data: inked, widthPx, heightPx };
  const away = distanceToInside(mask);
  const depth = distanceToOutside(mask);
  const levelled = overPaper(signal, away, pxMm);
  if (levelled === null) return null;
  const { ratio, paper, paperU } = levelled;
  const densityOf = densityBy(input.toldBy, paper, calibration);
  const addition = input.toldBy === 'layer' ? layerAdds(paper) : DENSITIES_ADD;
  const dyes = input.dyes.map((dye) => asAdded(dye, addition));
  // The edge lies half a pixel nearer than the nearest pixel's centre.
  const edgePx = Math.max(1, EDGE_MM / pxMm);
  const ringPx = (input.haloMm ?? USUAL_RING_MM) / pxMm + 0.5;
  const zoneOf = (i: number): ZoneName | null => {
    if (inked[i]) return depth[i] - 0.5 > edgePx ? 'core' : 'edge';
    return away[i] - 0.5 > edgePx && away[i] <= Math.max(ringPx, 2 * edgePx + 1) ? 'ring' : null;
  };
  const sums = { core: new Sum(), edge: new Sum(), ring: new Sum() };
  for (let i = 0; i < inked.length; i++) {
    const zone = zoneOf(i);
    if (zone !== null) sums[zone].add(ratio, 3 * i);
  }
  const zones = (['core', 'edge', 'ring'] as const).flatMap((zone): DyeZone[] => {
    const { n } = sums[zone];
    if (n < LEAST_PIXELS) return [];
    const over = triple((c) => sums[zone].mean(c));
    const lab = xyzToLab(
      signalToXyz(
        triple((c) => over[c] * paper[c]),
        calibration,
      ),
    );
    const density = densityOf(over);
    const added = asAdded({ density, u: [paperU, paperU, paperU] }, addition);
    const { amounts, u, misfit } = unmix(dyes, added.density, added.u);
    const alone = (amount: number, j: number): Heights => triple((c) => amount * dyes[j].density[c]);
    const brought = amounts.map((amount, j) => summed(densitiesOf(addition, alone(amount, j))));
    const whole = brought.reduce((a, b) => a + b, 0);
    return [
      {
        zone,
        areaMm2: n * pxMm ** 2,
        lab: [lab[0], lab[1], lab[2]],
        density: summed(density),
        amounts,
        u,
        shares: brought.map((part) => (whole > 0 ? part / whole : 0)),
        misfit,
      },
    ];
  });
  return zones.length === 0 ? null : { zones, map: mapOf(signal, dyes, addition, ratio, densityOf, paperU) };
}

/** Signal over paper → density, one a channel or cone signal. */
type DensityOf = (over: Heights) => Heights;

function densityBy(toldBy: WritingInput['toldBy'], paper: Xyz, calibration: CompiledCalibration): DensityOf {
  if (toldBy !== 'colours') return (over) => triple((c) => -Math.log10(Math.max(LEAST_SIGNAL, over[c])));
  const cones = (over: Heights): Xyz =>
    coneSignals(
      signalToXyz(
        triple((c) => over[c] * paper[c]),
        calibration,
      ),
    );
  const bare = cones([1, 1, 1]);
  return (over) => {
    const own = cones(over);
    return triple((c) => -Math.log10(Math.max(LEAST_SIGNAL, own[c]) / Math.max(LEAST_SIGNAL, bare[c])));
  };
}

/** What adds by that law, and its uncertainty. */
function asAdded({ density, u }: Dye, addition: Addition): Dye {
  return {
    density: triple((c) => addition.amountOf(c, density[c])),
    u: triple((c) => u[c] * addition.slopeAt(c, density[c])),
  };
}

class Sum {
  n = 0;
  readonly #sums = [0, 0, 0];
  add(values: Float32Array, at: number): void {
    for (let c = 0; c < 3; c++) this.#sums[c] += values[at + c];
    this.n++;
  }
  mean(c: number): number {
    return this.#sums[c] / this.n;
  }
}

function summed(v: Heights): number {
  return v[0] + v[1] + v[2];
}

/** Each pixel over the paper under it, as the bare paper beside the strokes tells it; null: there is none. */
function overPaper(
  { data, widthPx, heightPx }: LinearRaster,
  away: Float32Array,
  pxMm: number,
): { ratio: Float32Array; paper: Xyz; paperU: number } | null {
  const cell = Math.max(4, Math.round(PAPER_CELL_MM / pxMm));
  const bare = BARE_MM / pxMm;
  const places: [number, number][] = [];
  const values: [number, number, number][] = [];
  for (let top = 0; top < heightPx; top += cell) {
    for (let left = 0; left < widthPx; left += cell) {
      const sum = new Sum();
      for (let y = top; y < Math.min(heightPx, top + cell); y++)
        for (let x = left; x < Math.min(widthPx, left + cell); x++)
          if (away[y * widthPx + x] > bare) sum.add(data, 3 * (y * widthPx + x));
      if (sum.n < LEAST_PIXELS) continue;
      places.push([left + cell / 2, top + cell / 2]);
      values.push(triple((c) => sum.mean(c)));
    }
  }
  if (places.length === 0) return null;
  const surface = fitSurface(places, values, places.length >= 24 ? 2 : places.length >= 8 ? 1 : 0);
  const at: [number, number, number] = [0, 0, 0];
  // How far single cells lie off the surface: what the paper itself leaves open.
  const off = places.map(([x, y], k) => {
    surfaceAt(surface, x, y, at);
    return Math.abs(Math.log10(values[k][1] / at[1]));
  });
  const scatter = off.toSorted((a, b) => a - b)[off.length >> 1] ?? 0;
  const ratio = new Float32Array(data.length);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      if (x % 8 === 0) surfaceAt(surface, x + 4, y + 0.5, at);
      const i = 3 * (y * widthPx + x);
      for (let c = 0; c < 3; c++) ratio[i + c] = data[i + c] / at[c];
    }
  }
  surfaceAt(surface, widthPx / 2, heightPx / 2, at);
  return {
    ratio,
    paper: triple((c) => at[c]),
    paperU: Math.hypot(PAPER_U, (1.48 * scatter) / Math.sqrt(places.length)),
  };
}

function mapOf(
  signal: LinearRaster,
  dyes: readonly Dye[],
  addition: Addition,
  ratio: Float32Array,
  densityOf: DensityOf,
  paperU: number,
): DyeMap {
  const { widthPx, heightPx, dpi } = signal;
  const cell = Math.max(1, Math.ceil(Math.sqrt((widthPx * heightPx) / MOST_CELLS)));
  const columns = Math.max(1, Math.floor(widthPx / cell));
  const rows = Math.max(1, Math.floor(heightPx / cell));
  const means = new Float32Array(3 * columns * rows);
  for (let y = 0; y < rows * cell; y++) {
    for (let x = 0; x < columns * cell; x++) {
      const to = 3 * (Math.floor(y / cell) * columns + Math.floor(x / cell));
      const from = 3 * (y * widthPx + x);
      for (let c = 0; c < 3; c++) means[to + c] += ratio[from + c] / cell ** 2;
    }
  }
  const amounts = dyes.map(() => new Float32Array(columns * rows));
  const noise: Heights = [4 * paperU, 4 * paperU, 4 * paperU];
  for (let i = 0; i < columns * rows; i++) {
    const density = densityOf([means[3 * i], means[3 * i + 1], means[3 * i + 2]]);
    if (summed(density) < 3 * FAINT) continue;
    const added = asAdded({ density, u: noise }, addition);
    amountsOf(dyes, added.density, added.u).forEach((amount, j) => {
      amounts[j][i] = amount;
    });
  }
  return { columns, rows, mmPerCell: (cell * 25.4) / dpi, amounts };
}
