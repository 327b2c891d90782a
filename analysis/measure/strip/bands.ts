/**
 * From components to bands. A real dye's band is rarely one neat shape: sorption gives it a steep front or a long tail, and the fit may
 * spend two or three components on it. Components belong to one band when they have one colour and one crown between them.
 */
import { shapeDensity, type BandShape } from './bandModel.ts';
import { squaredSigmas, type BandFit, type Component, type FitData, type FitLimits } from './bandFit.ts';

export type Heights = readonly [number, number, number];

export interface FittedBand {
  readonly components: readonly Component[];
  /** Crown of the fitted curve, mm along the run. */
  readonly apexMm: number;
  /** Densities at the crown, one a channel. */
  readonly heights: Heights;
}

export interface FittedBands {
  readonly origin: readonly Component[];
  /** The material at the origin rises out of the noise. */
  readonly originSeen: boolean;
  /** By place along the run. */
  readonly bands: readonly FittedBand[];
}

const SQRT_2PI = Math.sqrt(2 * Math.PI);
/** Two colours are one when the angle between their density vectors is less than this plus twice its noise (strong colour on paper
 *  shifts by about as much between a band's crown and its flanks). */
const ONE_COLOUR_RAD = 0.16;
/** A valley less deep than this share of the lower crown, or than twice its noise, is none. */
const VALLEY = 0.04;
/** Dispersion makes neighbours about as wide as each other: one so much narrower and so near ahead (in the other's sd) is the other's steep front. */
const FRONT = { width: 0.4, reachSd: 1.2 } as const;
/** A component without a crown of its own and below this share of its neighbour is that neighbour's flank. */
const FLANK = 0.1;
/** A trail is pale and lies under other bands: its fitted colour may stray this many times as far. */
const TRAIL_COLOUR = 3;
/** Crowns of the three channels closer than this share of the width are one crown. */
const ONE_CROWN = 0.25;
/**
 * A band must rise above its noise by this factor, above this density, and above this share of the strongest band. The density is about what an eye can
 * tell side by side (0.7 in L*, were it grey); of 1000 blank strips two had clouds between 0.006 and it (seeds 1 to 1000).
 */
const LEAST_SIGMAS = 6;
const LEAST_DENSITY = 0.008;
const LEAST_SHARE = 0.01;
/** Paper's own clouds, damp and handling are grey: what is this near to grey must stand out more than a colour must. */
const GREY_RAD = 0.3;
const LEAST_GREY_DENSITY = 0.025;
/** The tideline is grey or tan and lies at the front, mm: a grey band so near it must be plain to see. */
const TIDELINE_MM = 3;
const LEAST_AT_TIDELINE = 0.12;
/** A coloured one is paper's own brown when it is narrow and pale too: within this of the front, narrower and paler than these. */
const TIDE = { reachMm: 2.2, sdMm: 0.9, density: 0.1 } as const;
/** A drawn line: its palest channel at least this share of its darkest, narrower than this. */
const PENCIL = { grey: 0.75, sdMm: 0.42 } as const;

/** @returns bands by place along the run, and what did not leave the origin */
export function groupBands(fit: BandFit, data: FitData, limits: FitLimits): FittedBands {
  const present = fit.components.filter((c) => Math.max(...c.heights) > 0);
  const atOrigin = (c: Component): boolean =>
    c.kind === 'origin' || (c.pinMm === undefined && c.meanMm < limits.originMm + limits.originReachMm);
  const origin = present.filter(atOrigin);
  let bands = present.filter((c) => !atOrigin(c)).map((c) => asBand([c], data));
  for (;;) {
    const pair = closestPair(bands, data);
    if (pair === null) break;
    const [i, j] = pair;
    bands = [
      ...bands.filter((_, k) => k !== i && k !== j),
      asBand([...bands[i].components, ...bands[j].components], data),
    ];
  }
  const atLine = asBand(origin, data);
  const strongest = Math.max(Math.hypot(...atLine.heights), ...bands.map((b) => Math.hypot(...b.heights)));
  const isSeen = (b: FittedBand): boolean => {
    if (b.components.some((c) => c.pinMm !== undefined)) return true;
    // Nothing runs backwards: a broad cloud with its crown behind the origin is the paper's.
    if (b !== atLine && b.apexMm < limits.originMm) return false;
    const grey = angleBetween(b.heights, [1, 1, 1]) < GREY_RAD;
    const atTideline = Math.abs(b.apexMm - limits.frontMm) < TIDELINE_MM;
    const least = !grey ? LEAST_DENSITY : atTideline ? LEAST_AT_TIDELINE : LEAST_GREY_DENSITY;
    const rises =
      Math.hypot(...b.heights) > Math.max(least, LEAST_SHARE * strongest, LEAST_SIGMAS * heightNoise(b, data));
    return rises && !isTideline(b, limits);
  };
  return {
    origin,
    originSeen: origin.length > 0 && isSeen(atLine) && !isPencil(atLine),
    bands: bands.filter(isSeen).toSorted((a, b) => a.apexMm - b.apexMm),
  };
}

/** Narrow and pale just behind the front: paper's own brown, gathered by the liquid. */
function isTideline(band: FittedBand, limits: FitLimits): boolean {
  const near = Math.abs(band.apexMm - limits.frontMm) < TIDE.reachMm;
  return near && widthOf(band) < TIDE.sdMm && Math.hypot(...band.heights) < TIDE.density;
}

/** Narrow and grey: what is left of a drawn line where no bare paper tells it from the spot. */
function isPencil(atLine: FittedBand): boolean {
  const [low, high] = [Math.min(...atLine.heights), Math.max(...atLine.heights)];
  return low > PENCIL.grey * high && widthOf(atLine) < PENCIL.sdMm;
}

/** No components make a band of no height at 0 mm. */
export function asBand(components: readonly Component[], data: FitData): FittedBand {
  if (components.length === 0) return { components, apexMm: 0, heights: [0, 0, 0] };
  const apexMm = crown(components, data);
  return { components, apexMm, heights: heightsAt(components, apexMm) };
}

/** Density of these components at a place, one a channel. */
export function heightsAt(components: readonly Component[], mm: number): Heights {
  const sum: [number, number, number] = [0, 0, 0];
  for (const c of components) {
    const shape = unitShape(mm, c);
    for (let k = 0; k < 3; k++) sum[k] += c.heights[k] * shape;
  }
  return sum;
}

/** As writeShape scales it: a Gaussian's top is 1. */
export function unitShape(mm: number, shape: BandShape): number {
  return shape.sdMm * SQRT_2PI * shapeDensity(mm, shape);
}

/** Σ heights · colour, the band's curve as one line; `colour` of unit length. */
export function projected(components: readonly Component[], colour: Heights, mm: number): number {
  const h = heightsAt(components, mm);
  return h[0] * colour[0] + h[1] * colour[1] + h[2] * colour[2];
}

/** The three heights over their length: what remains is colour without amount. */
export function unitColour(heights: Heights): Heights {
  const length = Math.hypot(...heights) || 1;
  return [heights[0] / length, heights[1] / length, heights[2] / length];
}

/** Place of the highest point of the components' summed curve, within what was fitted: nothing runs beyond the front. */
function crown(components: readonly Component[], data: FitData): number {
  const total = components.reduce((sum, c) => sum.map((s, k) => s + c.heights[k] * c.sdMm), [0, 0, 0]);
  const colour = unitColour([total[0], total[1], total[2]]);
  const from = Math.min(...components.map((c) => c.meanMm - 3 * c.sdMm));
  const last = data.firstMm + (data.bins - 1) * data.binMm;
  const to = Math.max(...components.map((c) => c.meanMm + 3 * c.sdMm));
  return highest((mm) => projected(components, colour, mm), Math.min(from, last - data.binMm), Math.min(to, last));
}

/** Place of the maximum of a smooth curve: a coarse walk, then golden halving. */
export function highest(curve: (mm: number) => number, from: number, to: number): number {
  const steps = 120;
  let best = 0;
  let top = Number.NEGATIVE_INFINITY;
  for (let i = 0; i <= steps; i++) {
    const value = curve(from + ((to - from) * i) / steps);
    if (value > top) {
      top = value;
      best = i;
    }
  }
  let low = from + ((to - from) * Math.max(0, best - 1)) / steps;
  let high = from + ((to - from) * Math.min(steps, best + 1)) / steps;
  const golden = 0.6180339887498949;
  for (let round = 0; round < 24; round++) {
    const a = high - golden * (high - low);
    const b = low + golden * (high - low);
    if (curve(a) > curve(b)) high = b;
    else low = a;
  }
  return (low + high) / 2;
}

/** The two that are most surely one band, or null. */
function closestPair(bands: readonly FittedBand[], data: FitData): [number, number] | null {
  let best: [number, number] | null = null;
  let least = 1;
  for (let i = 0; i < bands.length; i++) {
    for (let j = i + 1; j < bands.length; j++) {
      const apart = apartness(bands[i], bands[j], data);
      if (apart < least) {
        least = apart;
        best = [i, j];
      }
    }
  }
  return best;
}

/** Below 1: the two are one band; the lower, the surer. One colour is the surest sign, then come a flank and a common crown. */
function apartness(a: FittedBand, b: FittedBand, data: FitData): number {
  const pins = [a, b].map((band) => band.components.find((c) => c.pinMm !== undefined)?.pinMm);
  if (pins[0] !== undefined && pins[1] !== undefined) return pins[0] === pins[1] ? -1 : Number.POSITIVE_INFINITY;
  const both = [...a.components, ...b.components];
  const [weak, strong] = Math.hypot(...a.heights) < Math.hypot(...b.heights) ? [a, b] : [b, a];
  const angleNoise = Math.hypot(...[a, b].map((band) => heightNoise(band, data) / Math.hypot(...band.heights)));
  const colour = angleBetween(a.heights, b.heights) / (ONE_COLOUR_RAD + 2 * angleNoise);
  const flank = Math.hypot(...weak.heights) / Math.hypot(...heightsAt(both, strong.apexMm)) / FLANK;
  if (colour < TRAIL_COLOUR && flank < 1 && isTailOf(weak, strong)) return (0.5 * colour) / TRAIL_COLOUR;
  if (colour < 1 && (isFrontOf(a, b) || isFrontOf(b, a))) return 0.5 * colour;
  if (hasValley(both, a, b, data)) return Number.POSITIVE_INFINITY;
  return colour < 1 ? 0.9 * colour : 0.9 + 0.1 * Math.min(flank, crownSpread(both, a, b));
}

/** Slow sorption leaves a broad, pale trail behind a band; under the bands that follow it only its colour tells whose it is. */
function isTailOf(trail: FittedBand, band: FittedBand): boolean {
  return trail.apexMm < band.apexMm && widthOf(trail) > 1.25 * widthOf(band);
}

/** Where paper fills up, a band ends steeply: of its two components one is the ramp, the other the front, and a dip is where their shapes meet. */
function isFrontOf(front: FittedBand, band: FittedBand): boolean {
  const ahead = front.apexMm - band.apexMm;
  return ahead > 0 && ahead < FRONT.reachSd * widthOf(band) && widthOf(front) < FRONT.width * widthOf(band);
}

/** A dip between the two crowns in the sum, seen in the colour of either: what a strong dye is in doubt of in its own colour hides no pale one of another. */
function hasValley(both: readonly Component[], a: FittedBand, b: FittedBand, data: FitData): boolean {
  return [a, b].some((band) => {
    const colour = unitColour(band.heights);
    const noise = Math.hypot(noiseAlong(colour, a, data), noiseAlong(colour, b, data));
    const curve = (mm: number): number => projected(both, colour, mm);
    const crowns = Math.min(curve(a.apexMm), curve(b.apexMm));
    let lowest = crowns;
    for (let i = 1; i < 40; i++) lowest = Math.min(lowest, curve(a.apexMm + ((b.apexMm - a.apexMm) * i) / 40));
    return crowns - lowest > Math.max(VALLEY * crowns, 2 * noise);
  });
}

/** How far apart the channels' crowns lie in the sum, over what still counts as one; bands further apart than 2 sd are never one so. */
function crownSpread(both: readonly Component[], a: FittedBand, b: FittedBand): number {
  const sd = (widthOf(a) + widthOf(b)) / 2;
  if (Math.abs(a.apexMm - b.apexMm) > 2 * sd) return Number.POSITIVE_INFINITY;
  const [from, to] = [Math.min(a.apexMm, b.apexMm) - 2 * sd, Math.max(a.apexMm, b.apexMm) + 2 * sd];
  const heights = both.reduce((sum, c) => sum.map((h, k) => Math.max(h, c.heights[k])), [0, 0, 0]);
  const strongest = Math.max(...heights);
  const crowns = [0, 1, 2]
    .filter((k) => heights[k] > 0.15 * strongest)
    .map((k) => highest((mm) => heightsAt(both, mm)[k], from, to));
  return (Math.max(...crowns) - Math.min(...crowns)) / (ONE_CROWN * 2.355 * sd);
}

/** Standard deviation of the band's widest strong component, mm. */
function widthOf(band: FittedBand): number {
  const strongest = Math.max(...band.components.map((c) => Math.hypot(...c.heights)));
  return Math.max(...band.components.filter((c) => Math.hypot(...c.heights) > 0.3 * strongest).map((c) => c.sdMm));
}

/** Between two colours as density vectors, rad. */
export function angleBetween(a: Heights, b: Heights): number {
  const [u, v] = [unitColour(a), unitColour(b)];
  return Math.acos(Math.min(1, u[0] * v[0] + u[1] * v[1] + u[2] * v[2]));
}

/** Standard deviation of a band's height: the noise at its crown over the bins under it (it is long-run noise already). */
export function heightNoise(band: FittedBand, data: FitData): number {
  return noiseAlong(unitColour(band.heights), band, data);
}

/** The same of what another colour has at the band's crown. */
function noiseAlong(colour: Heights, band: FittedBand, data: FitData): number {
  const i = binAt(data, band.apexMm);
  const under = Math.max(1, (2 * widthOf(band)) / data.binMm);
  return 1 / Math.sqrt(under * Math.max(1e-12, squaredSigmas(data, i, colour)));
}

/** The nearest bin of the profile, within it. */
export function binAt(data: FitData, mm: number): number {
  return Math.min(data.bins - 1, Math.max(0, Math.round((mm - data.firstMm) / data.binMm)));
}
