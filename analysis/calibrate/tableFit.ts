/**
 * A table from device values to colours (a profile's) as a calibration: our own curves and colour map, fitted to colours read from the table
 * as a target's patches are. What the fit misses is kept, since it is part of what such colours may be off.
 */
import { deltaE2000 } from '../colour/deltaE.ts';
import { labD50, type LabD50, labToXyz } from '../colour/lab.ts';
import { solve3 } from '../solve3.ts';
import { triple } from '../triple.ts';
import type { Calibration } from './calibration.ts';
import { judgeCandidates } from './candidates.ts';
import { fitOwnCurves, type PatchSample } from './channelCurves.ts';
import { labMetric } from './colourMetric.ts';
import { nominalCalibration } from './nominal.ts';

/** Interleaved device values, 16 bits → interleaved L*, a*, b*. */
export type DeviceToLab = (rgb: Uint16Array) => Float32Array;

type Device = readonly [number, number, number];

/** Levels of a channel in the cube of colours. */
const LEVELS = 5;
const GREYS = 18;
/** Colours no print or ink has: tables are made up there. */
const STRONGEST_CHROMA = 110;
const DARKEST_L = 3;
/** A grey of the table: nearer to neutral than this (ΔE00 of its chroma alone). */
const NEUTRAL = 1;
const STEPS_TO_NEUTRAL = 12;
const LEAST_RANGE = 50;
/** As small as any that targets are fitted with. */
const RIDGE = 0.0001;

/** null: the table holds nothing that a calibration could stand on: from white to black less than half of lightness, or no numbers. */
export function fitTable(toLab: DeviceToLab): Calibration | null {
  const greys = neutrals(toLab);
  const samples = [...greys.map((grey) => ({ ...grey, grey: true })), ...cubeOf(toLab)];
  const lightness = greys.map(({ lab }) => lab[0]);
  if (!(Math.max(...lightness) - Math.min(...lightness) > LEAST_RANGE)) return null;
  if (!samples.every(({ lab }) => lab.every(Number.isFinite))) return null;
  const patches = samples.map(
    ({ device, lab, grey = false }: Sample & { readonly grey?: boolean }, i): PatchSample => ({
      id: String(i),
      grey,
      device,
      light: [1, 1, 1],
      xyz: labToXyz(lab),
    }),
  );
  const { curves } = fitOwnCurves(patches);
  // The best, not the simplest that is nearly as good: a table has no noise that a richer map could take for colour.
  const [best] = judgeCandidates(patches, fitOwnCurves, [RIDGE]);
  const { model, ridge, fit, leftOut } = best;
  const misfit = misfitOf(samples, leftOut);
  return { ...nominalCalibration, model, ridge, curves, matrix: fit.matrix, misfit };
}

interface Sample {
  readonly device: Device;
  readonly lab: LabD50;
}

/** Even steps of lightness along each channel, colours within what prints reach. */
function cubeOf(toLab: DeviceToLab): Sample[] {
  const levels = evenLevels(toLab, LEVELS);
  const devices = levels.flatMap((r) => levels.flatMap((g) => levels.map((b): Device => [r, g, b])));
  return read(toLab, devices).filter(
    ({ lab: [L, a, b] }) => L >= DARKEST_L && L <= 101 && Math.hypot(a, b) <= STRONGEST_CHROMA,
  );
}

/** Device values, 0..1, whose greys lie in even steps of L*. */
function evenLevels(toLab: DeviceToLab, count: number): number[] {
  const steps = 256;
  const ramp = read(
    toLab,
    Array.from({ length: steps + 1 }, (_, i): Device => [i / steps, i / steps, i / steps]),
  ).map(({ lab }) => lab[0]);
  const [dark, light] = [ramp[0], ramp[steps]];
  return Array.from({ length: count }, (_, k) => {
    const wanted = dark + ((light - dark) * k) / (count - 1);
    const at = ramp.findIndex((L) => L >= wanted);
    return k === 0 ? 0 : k === count - 1 || at < 0 ? 1 : at / steps;
  });
}

/**
 * Device values that the table calls neutral, from white to black: by Newton's steps from equal channels. Where a table has none
 * (its black is coloured), equal channels as they are serve instead.
 */
function neutrals(toLab: DeviceToLab): Sample[] {
  const start = evenLevels(toLab, GREYS).toReversed();
  const wanted = read(
    toLab,
    start.map((v): Device => [v, v, v]),
  ).map(({ lab }) => lab[0]);
  let devices = start.map((v): Device => [v, v, v]);
  const h = 1 / 512;
  for (let step = 0; step < STEPS_TO_NEUTRAL; step++) {
    const around = devices.flatMap((d) => [d, ...([0, 1, 2] as const).map((k) => moved(d, k, d[k] > 0.5 ? -h : h))]);
    const labs = read(toLab, around).map(({ lab }) => lab);
    devices = devices.map((d, i): Device => {
      const here = labs[4 * i];
      const slope = (k: 0 | 1 | 2): Device => triple((c) => (labs[4 * i + 1 + k][c] - here[c]) / (d[k] > 0.5 ? -h : h));
      const move = solve3([slope(0), slope(1), slope(2)], [wanted[i] - here[0], -here[1], -here[2]], 1e-6);
      return move === null ? d : triple((k) => Math.min(1, Math.max(0, d[k] + Math.min(0.1, Math.max(-0.1, move[k])))));
    });
  }
  const found = read(toLab, devices).filter(({ lab }) => deltaE2000(lab, labD50(lab[0], 0, 0)) < NEUTRAL);
  const plain = read(
    toLab,
    start.map((v): Device => [v, v, v]),
  );
  return found.length >= GREYS / 2 ? found : plain;
}

function moved(d: Device, channel: 0 | 1 | 2, by: number): Device {
  return triple((k) => (k === channel ? d[k] + by : d[k]));
}

function read(toLab: DeviceToLab, devices: readonly Device[]): Sample[] {
  const lab = toLab(Uint16Array.from(devices.flat(), (v) => Math.round(65535 * v)));
  return devices.map((device, i) => ({
    device: triple((k) => Math.round(65535 * device[k]) / 65535),
    lab: labD50(lab[3 * i], lab[3 * i + 1], lab[3 * i + 2]),
  }));
}

/** Root mean square of lightness, chroma and hue, in ΔE00, by fits that did not see the colour. */
function misfitOf(samples: readonly Sample[], leftOut: readonly LabD50[]): Device {
  const sums = [0, 0, 0];
  samples.forEach(({ lab }, i) => {
    const m = labMetric(lab);
    const [dL, da, db] = triple((k) => leftOut[i][k] - lab[k]);
    sums[0] += (m[0] * dL) ** 2;
    sums[1] += (m[4] * da + m[5] * db) ** 2;
    sums[2] += (m[7] * da + m[8] * db) ** 2;
  });
  return triple((k) => Math.sqrt(sums[k] / samples.length));
}
