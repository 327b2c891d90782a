/** A measured strip held against its truth. */
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import {
  measureStrip,
  type Band,
  type StripMeasure,
  type StripOptions,
} from '../../analysis/measure/strip/measureStrip.ts';
import { uncertaintyOf, type Told } from '../../analysis/measure/strip/strip.ts';
import type { TrueBand, TrueStrip } from './randomStrip.ts';

export const nominal = compileCalibration(nominalCalibration);

export interface Judged {
  /** Measured minus true, over its own u. */
  readonly error: number;
  readonly u: number;
}

export interface StripVerdict {
  readonly measure: StripMeasure;
  readonly countRight: boolean;
  /** Of bands that are dyes' (`bandsOfDyes`), as all that follow. */
  readonly rF: readonly Judged[];
  readonly share: readonly Judged[];
  /** Each dye's own share against that of the nearest band, be that band two dyes' or not. */
  readonly shareOfNearest: readonly Judged[];
  readonly width: readonly Judged[];
  readonly tail: readonly Judged[];
  /** To the next band, both of them dyes'. */
  readonly resolution: readonly Judged[];
  readonly colour: readonly {
    readonly error: readonly [number, number, number];
    readonly u: readonly [number, number, number];
  }[];
  readonly origin: Judged | null;
}

export function measureTrue(strip: TrueStrip, options?: StripOptions, ends: 'given' | 'found' = 'given'): StripMeasure {
  const given = ends === 'given';
  return measureStrip(
    {
      id: `strip-${strip.look.seed}`,
      signal: strip.raster,
      calibration: nominal,
      travel: strip.look.travel,
      originMm: given ? strip.originMm : null,
      frontMm: given ? strip.frontMm : null,
      run: null,
    },
    options,
  );
}

/** Dyes closer than this (R_s by half-height widths) need not be told apart: the band that they make is held against both together. */
export const TOLD_APART = 0.6;
/** A band is a dye's when their places differ by less, R_F. */
const NEAR_RF = 0.04;

export function judge(strip: TrueStrip, measure: StripMeasure): StripVerdict {
  const pairs = bandsOfDyes(strip, measure).map(({ band, dyes }) => ({ truth: strip.together(dyes), band }));
  const origin = measure.originRetained;
  return {
    measure,
    countRight: measure.bands.length === strip.bands.length,
    rF: pairs.map(({ truth, band }) => ({ error: band.rF!.value - truth.rF, u: uncertaintyOf(band.rF!) })),
    share: pairs.map(({ truth, band }) => ({
      error: band.sharePercent.value - truth.sharePercent,
      u: withoutCalibration(band.sharePercent),
    })),
    shareOfNearest: strip.bands.flatMap((truth): Judged[] => {
      const near = nearest(measure.bands, truth.rF);
      return near === null
        ? []
        : [{ error: near.sharePercent.value - truth.sharePercent, u: withoutCalibration(near.sharePercent) }];
    }),
    width: pairs.map(({ truth, band }) => ({
      error: band.widthMm.value / truth.widthMm - 1,
      u: uncertaintyOf(band.widthMm) / truth.widthMm,
    })),
    tail: pairs.map(({ truth, band }) => ({ error: band.tail.value - truth.tail, u: uncertaintyOf(band.tail) })),
    resolution: pairs.flatMap(({ truth, band }): Judged[] => {
      const next = pairs.find((other) => other.band.number === band.number + 1);
      if (next === undefined || band.resolution === null) return [];
      const apartMm = (next.truth.rF - truth.rF) * strip.look.runMm;
      const told = (2 * apartMm) / (truth.baseMm + next.truth.baseMm);
      return [{ error: band.resolution.value / told - 1, u: uncertaintyOf(band.resolution) / told }];
    }),
    colour: strip.bands.flatMap((truth) => {
      const band = nearest(measure.bands, truth.rF);
      if (band === null) return [];
      const { repeatability: r, placement: p } = band.colourParts;
      const error = [0, 1, 2].map((c) => band.colour[c] - truth.lab[c]);
      return [
        {
          error: [error[0], error[1], error[2]] as const,
          u: [Math.hypot(r[0], p[0]), Math.hypot(r[1], p[1]), Math.hypot(r[2], p[2])] as const,
        },
      ];
    }),
    origin:
      origin === null ? null : { error: origin.value - strip.originRetainedPercent, u: withoutCalibration(origin) },
  };
}

/** Each band with the dyes that it is: its nearest, and those too near to that one to have a band of their own. */
function bandsOfDyes(strip: TrueStrip, measure: StripMeasure): { band: Band; dyes: number[] }[] {
  const meetings = strip.bands.flatMap((truth, dye) =>
    measure.bands.flatMap((band) => {
      const off = band.rF === null ? NEAR_RF : Math.abs(band.rF.value - truth.rF);
      return off < NEAR_RF ? [{ band, dye, off }] : [];
    }),
  );
  const found: { band: Band; dyes: number[] }[] = [];
  for (const { band, dye } of meetings.toSorted((a, b) => a.off - b.off)) {
    if (!found.some((f) => f.band === band || f.dyes.includes(dye))) found.push({ band, dyes: [dye] });
  }
  const owners = found.map(({ band, dyes: [dye] }) => ({ band, dye }));
  strip.bands.forEach((truth, dye) => {
    if (owners.some((o) => o.dye === dye)) return;
    const parted = (o: { dye: number }): number => parting(truth, strip.bands[o.dye], strip.look.runMm);
    const over = owners.toSorted((a, b) => parted(a) - parted(b))[0];
    if (over !== undefined && parted(over) < TOLD_APART) found.find((f) => f.band === over.band)!.dyes.push(dye);
  });
  return found;
}

/** R_s of two dyes by their half-height widths. */
export function parting(a: TrueBand, b: TrueBand, runMm: number): number {
  return (1.18 * Math.abs(b.rF - a.rF) * runMm) / (a.widthMm + b.widthMm);
}

function nearest(bands: readonly Band[], rF: number): Band | null {
  const off = (b: Band): number => (b.rF === null ? NEAR_RF : Math.abs(b.rF.value - rF));
  return bands.filter((b) => off(b) < NEAR_RF).toSorted((a, b) => off(a) - off(b))[0] ?? null;
}

/** Truth and measure read the device alike here, so the calibration's part has nothing to cover. */
function withoutCalibration(t: Told): number {
  return Math.hypot(t.parts.repeatability, t.parts.placement);
}
