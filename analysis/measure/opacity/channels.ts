/**
 * Three channels that a layer's R0 and T are told in: Bradford's sharpened cone signals over those of white. On 200 drawn inks and papers two grounds foretell a third
 * so within 0.2 to 1.1 ΔE00 (medians); XYZ itself, linear sRGB and a wide RGB do two to three times worse.
 */
import { coneSignals, inverse3, times } from '../../colour/adapt.ts';
import { D50, type Xyz } from '../../colour/lab.ts';
import { GRID, XYZ_WEIGHTS } from '../../film/grid.ts';

export type Channels = readonly [long: number, middle: number, short: number];

/** As the window calls them: light of long, middle and short wavelengths. */
export const CHANNEL_NAMES = ['red', 'green', 'blue'] as const;

const WHITE = coneSignals(D50);

/** 1 for white. @param xyz under D50, Y = 1 for the perfect diffuser */
export function channelsOf(xyz: Xyz): Channels {
  const [long, middle, short] = coneSignals(xyz);
  return [long / WHITE[0], middle / WHITE[1], short / WHITE[2]];
}

const BACK = (() => {
  const [x, y, z] = [channelsOf([1, 0, 0]), channelsOf([0, 1, 0]), channelsOf([0, 0, 1])];
  return inverse3([0, 1, 2].map((c) => [x[c], y[c], z[c]]));
})();

/** The way back from `channelsOf`; exact, since both are linear. */
export function xyzOfChannels(channels: Channels): Xyz {
  return times(BACK, channels);
}

/** A reflectance on the grid as channels: Σ r[l] · CHANNEL_WEIGHTS[c][l]; weights add up to 1. */
export const CHANNEL_WEIGHTS: readonly (readonly number[])[] = [0, 1, 2].map((c) =>
  Array.from(
    { length: GRID.count },
    (_, l) => channelsOf([XYZ_WEIGHTS[0][l], XYZ_WEIGHTS[1][l], XYZ_WEIGHTS[2][l]])[c],
  ),
);
