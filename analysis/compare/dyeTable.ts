/**
 * Bands of many inks held against each other: which share a dye? Told by hue and by R_F, and only where paper, liquid, run and temperature
 * are one, since R_F is a property of all of them.
 */
import { hueWithDoubt } from '../hueWithDoubt.ts';
import type { Flag, LabValue, Quantity } from '../quantity.ts';

/** One strip of one ink, as its sheet describes it. */
export interface StripOnShelf {
  readonly ink: string;
  readonly region: string;
  /** null: not told. */
  readonly paper: string | null;
  readonly liquid: string | null;
  readonly temperatureC: number | null;
  readonly run: 'fresh' | 'dried' | null;
}

export interface DyeBand {
  readonly strip: StripOnShelf;
  /** From 1 by R_F. */
  readonly band: number;
  readonly rF: number;
  readonly uRF: number;
  readonly colour: LabValue;
  /** null: too nearly grey to have one. */
  readonly hueDeg: number | null;
  readonly uHueDeg: number;
  /** ISCC–NBS name. */
  readonly name: string | null;
  readonly flags: readonly Flag[];
}

export interface SharedDye {
  /** What the bands have in common: only within it they were compared. */
  readonly conditions: Conditions;
  /** Of two inks or more, by R_F; no two of one strip. */
  readonly bands: readonly DyeBand[];
  readonly inks: readonly string[];
  /** The two of them that are least alike. */
  readonly worst: Likeness;
}

export interface Conditions {
  readonly paper: string | null;
  readonly liquid: string | null;
  readonly run: StripOnShelf['run'];
}

export interface Likeness {
  readonly dRF: number;
  /** null: both are nearly grey. */
  readonly dHueDeg: number | null;
  /** Probability of a difference at least so large if the two are one dye: exp(−χ²/2), two degrees of freedom. */
  readonly probability: number;
}

export interface DyeTable {
  /** All bands with a colour and an R_F, by conditions, hue and R_F. */
  readonly bands: readonly DyeBand[];
  readonly shared: readonly SharedDye[];
  /** Conditions with bands of one ink alone: nothing to hold them against. */
  readonly alone: readonly Conditions[];
}

/** R_F of one dye from one run to the next on one paper (common practice, no source). */
const RUN_TO_RUN = 0.02;
/** By so much a dye's hue turns with its dose on paper, degrees (common practice, no source). */
const DOSE_TURN_DEG = 7;
/** 95 % of one dye's pairs are at least this likely. */
const LEAST_PROBABILITY = 0.05;
/** Warmer liquid runs and dissolves otherwise: strips further apart than this are not compared, °C (common practice, no source). */
const WARMER_C = 5;

/** A strip's bands from its findings; those without a place or a colour are left out. */
export function dyeBands(strip: StripOnShelf, findings: readonly Quantity[]): DyeBand[] {
  const own = findings.filter(({ subject: s }) => s.regions.length === 1 && s.regions[0] === strip.region);
  return own.flatMap((place): DyeBand[] => {
    const { band } = place.subject;
    if (place.quantity !== 'bandPosition' || band === undefined || typeof place.value !== 'number') return [];
    const colour = own.find((q) => q.quantity === 'bandColour' && q.subject.band === band);
    if (!colour || colour.value === null || typeof colour.value === 'number') return [];
    const u: LabValue = typeof colour.u === 'number' || colour.u === null ? [0, 0, 0] : colour.u;
    const hue = hueWithDoubt(colour.value, u);
    return [
      {
        strip,
        band,
        rF: place.value,
        uRF: typeof place.u === 'number' ? place.u : 0,
        colour: colour.value,
        hueDeg: hue?.deg ?? null,
        uHueDeg: hue?.u ?? 180,
        name: colour.verdict ?? null,
        flags: [...new Set([...place.flags, ...colour.flags])],
      },
    ];
  });
}

/** @returns all bands in order, and those of different strips that may be one dye, within one paper, liquid and run */
export function dyeTable(bands: readonly DyeBand[]): DyeTable {
  const classes = new Map<string, DyeBand[]>();
  for (const band of bands) {
    const key = JSON.stringify(conditionsOf(band));
    classes.set(key, [...(classes.get(key) ?? []), band]);
  }
  const sorted = [...classes.values()].map((all) => all.toSorted(byHue));
  return {
    bands: sorted.flat(),
    shared: sorted.flatMap(sharedIn),
    alone: sorted.filter((all) => new Set(all.map((b) => b.strip.ink)).size < 2).map(([first]) => conditionsOf(first)),
  };
}

/** Groups grow by their likeliest pair; every two members must be alike, so that no chain of small steps joins two dyes. */
function sharedIn(bands: readonly DyeBand[]): SharedDye[] {
  const n = bands.length;
  // Between two groups: how likely their least likely pair is. A shelf of years has hundreds of bands, so none is worked out twice.
  const least = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++) least[i * n + j] = least[j * n + i] = likenessOf(bands[i], bands[j]).probability;
  const members = new Map(bands.map((band, i) => [i, [band]]));
  for (;;) {
    let best: { i: number; j: number; probability: number } | null = null;
    for (const i of members.keys()) {
      for (const j of members.keys()) {
        const probability = least[i * n + j];
        if (i < j && probability > (best?.probability ?? LEAST_PROBABILITY)) best = { i, j, probability };
      }
    }
    if (best === null) break;
    const { i, j } = best;
    members.set(i, [...(members.get(i) ?? []), ...(members.get(j) ?? [])]);
    members.delete(j);
    for (const k of members.keys()) least[i * n + k] = least[k * n + i] = Math.min(least[i * n + k], least[j * n + k]);
  }
  const groups = [...members.values()];
  return groups
    .map((group) => ({ group, inks: [...new Set(group.map((b) => b.strip.ink))] }))
    .filter(({ inks }) => inks.length > 1)
    .map(({ group, inks }) => ({
      conditions: conditionsOf(group[0]),
      bands: group.toSorted((a, b) => a.rF - b.rF),
      inks,
      worst: leastAlike(group),
    }))
    .toSorted((a, b) => b.inks.length - a.inks.length || b.worst.probability - a.worst.probability);
}

/** @param bands two or more */
function leastAlike(bands: readonly DyeBand[]): Likeness {
  const pairs = bands.flatMap((a, i) => bands.slice(i + 1).map((b) => likenessOf(a, b)));
  return pairs.reduce((worst, pair) => (pair.probability < worst.probability ? pair : worst));
}

/** How far two bands lie from being one dye. */
export function likenessOf(a: DyeBand, b: DyeBand): Likeness {
  const dRF = b.rF - a.rF;
  const place = dRF / Math.hypot(a.uRF, b.uRF, RUN_TO_RUN);
  const never = { dRF, dHueDeg: null, probability: 0 };
  // Two bands of one strip are two dyes, whatever they look like.
  if (a.strip.ink === b.strip.ink && a.strip.region === b.strip.region) return never;
  const [warm, cold] = [a.strip.temperatureC, b.strip.temperatureC];
  if (warm !== null && cold !== null && Math.abs(warm - cold) > WARMER_C) return never;
  if (a.hueDeg === null || b.hueDeg === null) {
    return a.hueDeg === null && b.hueDeg === null
      ? { dRF, dHueDeg: null, probability: Math.exp(-0.5 * place * place) }
      : never;
  }
  const dHueDeg = turn(a.hueDeg, b.hueDeg);
  const hue = dHueDeg / Math.hypot(a.uHueDeg, b.uHueDeg, DOSE_TURN_DEG);
  return { dRF, dHueDeg, probability: Math.exp(-0.5 * (place * place + hue * hue)) };
}

function conditionsOf({ strip: { paper, liquid, run } }: DyeBand): Conditions {
  return { paper, liquid, run };
}

function byHue(a: DyeBand, b: DyeBand): number {
  return (a.hueDeg ?? 360) - (b.hueDeg ?? 360) || a.rF - b.rF;
}

/** From one hue to another the shorter way, −180..180. */
function turn(from: number, to: number): number {
  return ((((to - from) % 360) + 540) % 360) - 180;
}
