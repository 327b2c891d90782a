/** How far a pen's layer would hide a paper that it was not seen on: its colours there and on another paper at the same doses, over what the papers differ by. */
import { deltaE2000 } from '../../colour/deltaE.ts';
import { labD50, type LabD50, labToXyz, xyzToLab } from '../../colour/lab.ts';
import type { LabValue } from '../../quantity.ts';
import { channelsOf, xyzOfChannels } from './channels.ts';
import { doseSpread } from './doseSpread.ts';
import type { Told } from './filmNumbers.ts';
import { mixed } from './foretell.ts';
import { groundOfLab } from './groundOfLab.ts';
import { BAND, type GroundsLayer } from './groundsLayer.ts';
import type { InkLayer, LayerCurves } from './inkLayer.ts';
import { onGround } from './layerOptics.ts';

/** What is left of a difference of two colours of one film where the fit knows all, ΔE00: as of a foretold colour. */
const LEAST = 0.15;

/** @param regions of one pen. Null: none of them belongs to this layer */
export function hidingByFilm(layer: InkLayer, regions: readonly string[], from: LabValue, to: LabValue): Told | null {
  const samples = layer.samples.filter(({ region }) => regions.includes(region));
  if (samples.length === 0) return null;
  const between = deltaE2000(labD50(...from), labD50(...to));
  const [a, b] = [groundOfLab(from), groundOfLab(to)];
  const hides = (curves: LayerCurves, doseFactor: number, one: readonly number[], other: readonly number[]): number => {
    const [here, there] = [one, other].map((ground) => xyzToLab(mixed(samples, curves, doseFactor, ground)));
    return 1 - deltaE2000(here, there) / between;
  };
  const value = hides(layer, 1, a.reflectance, b.reflectance);
  const moved = [
    ...layer.doubts.map((one) => hides(one, one.doseFactor, a.reflectance, b.reflectance)),
    hides(layer, Math.exp(doseSpread(samples)), a.reflectance, b.reflectance),
    ...a.doubts.map((reflectance) => hides(layer, 1, reflectance, b.reflectance)),
    ...b.doubts.map((reflectance) => hides(layer, 1, a.reflectance, reflectance)),
  ];
  return { value, u: Math.hypot(LEAST / between, ...moved.map((one) => one - value)) };
}

type Rt = readonly { readonly r0: number; readonly t: number }[];

/** @param doseSd of the pen's dose, logarithm */
export function hidingByGrounds(
  { channels, grounds }: GroundsLayer,
  from: LabValue,
  to: LabValue,
  doseSd: number,
): Told {
  const between = deltaE2000(labD50(...from), labD50(...to));
  const [a, b] = [from, to].map((lab) => channelsOf(labToXyz(labD50(...lab))));
  const on = (layer: Rt, ground: readonly number[], off: readonly number[] = [0, 0, 0]): LabD50 => {
    const [long, middle, short] = layer.map(({ r0, t }, c) => onGround(r0, t, ground[c]) * (1 + off[c]));
    return xyzToLab(xyzOfChannels([long, middle, short]));
  };
  const hides = (layer: Rt, off?: readonly number[]): number =>
    1 - deltaE2000(on(layer, a), on(layer, b, off)) / between;
  const value = hides(channels);
  const shifted = (c: number, byR0: number, byT: number): number =>
    hides(channels.map((one, i) => (i === c ? { r0: one.r0 + byR0, t: one.t + byT } : one)));
  const moved = channels.flatMap(({ rr, tt, rt }, c) => {
    const sd = Math.sqrt(rr);
    const away = Math.min(...grounds.map((one) => Math.abs(Math.log(Math.max(1e-3, b[c]) / Math.max(1e-3, one[c])))));
    return [
      shifted(c, sd, rt / sd),
      shifted(c, 0, Math.sqrt(Math.max(0, tt - (rt * rt) / rr))),
      hides(
        channels,
        [0, 1, 2].map((i) => (i === c ? BAND * away : 0)),
      ),
    ];
  });
  const denser = hides(channels.map(({ r0, t }) => ({ r0, t: t ** (1 + doseSd) })));
  return { value, u: Math.hypot(LEAST / between, denser - value, ...moved.map((one) => one - value)) };
}
