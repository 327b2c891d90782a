/** R0 and T of a pen's layer in three channels, from its colours on two grounds or more, by least squares; and from them its colour on another ground. */
import { labD50, type LabD50, labToXyz, type Xyz, xyzToLab } from '../../colour/lab.ts';
import type { LabValue } from '../../quantity.ts';
import { triple } from '../../triple.ts';
import { type Channels, channelsOf, xyzOfChannels } from './channels.ts';
import { absorptionAndScatter, layerOf, onGround, STANDARD_WHITE } from './layerOptics.ts';

/** One ground with this pen's ink on it, both told the same way. */
export interface GroundPoint {
  readonly ground: LabD50;
  readonly ink: LabD50;
  /** Standard uncertainty of `ink` per component. */
  readonly u: LabValue;
  /** Of the dose there against the pen's mean, logarithm. */
  readonly doseSd: number;
}

export interface ChannelLayer {
  readonly r0: number;
  readonly t: number;
  /** Covariance of (R0, T): variance of R0, of T, and what they share. */
  readonly rr: number;
  readonly tt: number;
  readonly rt: number;
}

export interface GroundsLayer {
  readonly channels: readonly [ChannelLayer, ChannelLayer, ChannelLayer];
  /** Each channel's grounds, for how far another lies from them. */
  readonly grounds: readonly Channels[];
}

/** What a layer of dye sends back over black is little: before anything is measured, R0 is so much and may be off by so much. */
const R0_BEFORE = { value: 0.02, sd: 0.05 } as const;
/** Grounds that differ by less than this factor in every channel tell nothing. */
const LEAST_APART = 1.25;
/** A channel is a broad band: what R0 and T leave there, per unit of ln(ground/nearest known ground), relative. */
export const BAND = 0.12;
const STEPS = 40;

/** Null: fewer than two grounds, or all too alike. */
export function groundsLayer(points: readonly GroundPoint[]): GroundsLayer | null {
  const grounds = points.map(({ ground }) => channelsOf(labToXyz(ground)));
  const apart = [0, 1, 2].map((c) => {
    const own = grounds.map((one) => Math.max(1e-4, one[c]));
    return Math.max(...own) / Math.min(...own);
  });
  if (points.length < 2 || Math.max(...apart) < LEAST_APART) return null;
  const inks = points.map(({ ink }) => channelsOf(labToXyz(ink)));
  const sds = points.map(({ ink, u }) => channelSd(ink, u));
  const channel = (c: number): ChannelLayer =>
    fitChannel(points.map(({ doseSd }, i) => ({ ground: grounds[i][c], ink: inks[i][c], sd: sds[i][c], doseSd })));
  return { channels: [channel(0), channel(1), channel(2)], grounds };
}

interface ChannelPoint {
  readonly ground: number;
  readonly ink: number;
  readonly sd: number;
  readonly doseSd: number;
}

/** Gauss–Newton with R0's prior. */
function fitChannel(points: readonly ChannelPoint[]): ChannelLayer {
  let r0: number = R0_BEFORE.value;
  let t = Math.sqrt(Math.max(1e-3, ...points.map(({ ground, ink }) => ink / Math.max(0.01, ground))));
  t = Math.min(1, t);
  let [a, b, d] = [0, 0, 0];
  for (let step = 0; step < STEPS; step++) {
    a = 1 / R0_BEFORE.sd ** 2;
    b = 0;
    d = 1e-6;
    let right0 = (R0_BEFORE.value - r0) / R0_BEFORE.sd ** 2;
    let rightT = 0;
    for (const { ground, ink, sd, doseSd } of points) {
      const shared = 1 - r0 * ground;
      const byR0 = 1 + (t * t * ground * ground) / (shared * shared);
      const byT = (2 * t * ground) / shared;
      const through = (t * t * ground) / shared;
      const byDose = through * Math.abs(Math.log(Math.max(1e-3, t * t)));
      const weight = 1 / (sd * sd + (byDose * doseSd) ** 2);
      const rest = ink - onGround(r0, t, ground);
      a += weight * byR0 * byR0;
      b += weight * byR0 * byT;
      d += weight * byT * byT;
      right0 += weight * byR0 * rest;
      rightT += weight * byT * rest;
    }
    const determinant = a * d - b * b;
    r0 = Math.min(0.95, Math.max(-0.02, r0 + (d * right0 - b * rightT) / determinant));
    t = Math.min(1, Math.max(1e-3, t + (a * rightT - b * right0) / determinant));
  }
  const determinant = a * d - b * b;
  return { r0, t, rr: d / determinant, tt: a / determinant, rt: -b / determinant };
}

/** @param doseSd of the dose on that ground against the pen's mean, logarithm */
export function foretellByGrounds(
  { channels, grounds }: GroundsLayer,
  ground: LabD50,
  doseSd: number,
): { readonly lab: LabD50; readonly xyz: Xyz; readonly u: LabValue } {
  const under = channelsOf(labToXyz(ground));
  const told = channels.map(({ r0, t }, c) => onGround(r0, t, under[c]));
  const xyz = xyzOfChannels([told[0], told[1], told[2]]);
  const lab = xyzToLab(xyz);
  const own = channels.map(({ r0, t, rr, tt, rt }, c) => {
    const shared = 1 - r0 * under[c];
    const byR0 = 1 + (t * t * under[c] ** 2) / shared ** 2;
    const byT = (2 * t * under[c]) / shared;
    const fitted = byR0 * byR0 * rr + 2 * byR0 * byT * rt + byT * byT * tt;
    const away = Math.min(...grounds.map((one) => Math.abs(Math.log(ratio(under[c], one[c])))));
    return Math.hypot(Math.sqrt(Math.max(0, fitted)), BAND * away * told[c]);
  });
  const byDose = channels.map(({ r0, t }, c) => (told[c] - r0) * Math.log(Math.max(1e-3, t * t)) * doseSd);
  const moved = (by: readonly number[]): LabD50 =>
    xyzToLab(xyzOfChannels([told[0] + by[0], told[1] + by[1], told[2] + by[2]]));
  const ways = [moved([own[0], 0, 0]), moved([0, own[1], 0]), moved([0, 0, own[2]]), moved(byDose)];
  return { lab, xyz, u: triple((c) => Math.hypot(LEAST, ...ways.map((one) => one[c] - lab[c]))) };
}

const LEAST = 0.15;

function ratio(a: number, b: number): number {
  return Math.max(1e-3, a) / Math.max(1e-3, b);
}

/** Colours from bare ground to beyond this layer's dose, for a picture. @param steps shares of the dose that the layer has */
export function alongGrounds({ channels }: GroundsLayer, ground: LabD50, steps: readonly number[]): LabD50[] {
  const under = channelsOf(labToXyz(ground));
  const layers = channels.map(({ r0, t }) => absorptionAndScatter(Math.max(0, r0), Math.min(t, 1 - Math.max(0, r0))));
  return steps.map((step) => {
    const [long, middle, short] = layers.map(({ K, S }, c) => {
      const layer = layerOf(step * K, step * S);
      return onGround(layer.r0, layer.t, under[c]);
    });
    return xyzToLab(xyzOfChannels([long, middle, short]));
  });
}

/** Y over perfect black over Y over the standard white. */
export function contrastByGrounds({ channels }: GroundsLayer): { readonly value: number; readonly u: number } {
  const at = (moved: readonly { readonly r0: number; readonly t: number }[]): number => {
    const on = (ground: number): number => {
      const [a, b, c] = moved.map(({ r0, t }) => onGround(r0, t, ground));
      return xyzOfChannels([a, b, c])[1];
    };
    return on(0) / on(STANDARD_WHITE);
  };
  const value = at(channels);
  // Columns of each channel's covariance.
  const ways = channels.flatMap(({ r0, t, rr, tt, rt }, c) => {
    const sd = Math.sqrt(rr);
    const shifted = (byR0: number, byT: number): number =>
      at(channels.map((one, i) => (i === c ? { r0: r0 + byR0, t: t + byT } : one)));
    return [shifted(sd, rt / sd), shifted(0, Math.sqrt(Math.max(0, tt - (rt * rt) / rr)))];
  });
  return { value, u: Math.hypot(...ways.map((one) => one - value)) };
}

/** A colour's u as standard deviations of its channels. */
function channelSd(lab: LabD50, u: LabValue): Channels {
  const at = channelsOf(labToXyz(lab));
  const ways = [0, 1, 2].map((c) =>
    channelsOf(
      labToXyz(labD50(lab[0] + (c === 0 ? u[0] : 0), lab[1] + (c === 1 ? u[1] : 0), lab[2] + (c === 2 ? u[2] : 0))),
    ),
  );
  return triple((c) => Math.hypot(5e-4, ...ways.map((one) => one[c] - at[c])));
}
