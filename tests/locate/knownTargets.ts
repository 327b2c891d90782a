/** The built-in targets with plausible known colours, and devices that see them in their own ways. Made for these tests. */
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { WETLINE_CARD } from '../../analysis/calibrate/card/plan.ts';
import { times } from '../../analysis/colour/adapt.ts';
import { labD50, labToXyz, type LabD50, xyzToLab } from '../../analysis/colour/lab.ts';
import { srgbToXyzD50, XYZ_D50_TO_RGB } from '../../analysis/colour/srgb.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { BUILT_IN_LAYOUTS, BUILT_IN_REFERENCES } from '../../electron/sheet/builtIn.ts';
import { parseReference } from '../../electron/sheet/reference.ts';
import type { Rgb } from '../calibrate/canvas.ts';

export interface KnownTarget {
  readonly layout: TargetLayout;
  readonly known: { readonly patches: ReadonlyMap<string, { readonly lab: LabD50 }> };
}

export type TargetName = 'card' | 'iso12641-1' | 'chart-4x6';
export const TARGET_NAMES: readonly TargetName[] = ['card', 'iso12641-1', 'chart-4x6'];

const known = new Map<TargetName, KnownTarget>();

export function knownTarget(name: TargetName): KnownTarget {
  let target = known.get(name);
  if (target === undefined) {
    const layout = BUILT_IN_LAYOUTS.get(name)!;
    target = { layout, known: name === 'card' ? printedCard() : name === 'iso12641-1' ? isoColours() : chart() };
    known.set(name, target);
  }
  return target;
}

/** sRGB's colours on paper: white at L* 93, black at L* 14, strong colours duller. */
function printedCard(): KnownTarget['known'] {
  const patches = [...WETLINE_CARD.patches].map(([id, rgb]): [string, { lab: LabD50 }] => {
    const [L, a, b] = xyzToLab(srgbToXyzD50(...rgb));
    const chroma = Math.hypot(a, b);
    const dull = 1 / (1 + chroma / 140);
    return [id, { lab: labD50(14 + 0.79 * L, a * dull + 0.5, b * dull - 1) }];
  });
  return { patches: new Map(patches) };
}

function chart(): KnownTarget['known'] {
  return parseReference(BUILT_IN_REFERENCES.get('chart-4x6')!.text, 'chart-4x6');
}

/** Hues of the twelve rows, degrees: about those of such targets, rounded. */
const HUES = [15, 40, 65, 90, 120, 160, 190, 230, 275, 300, 325, 350];

/**
 * Three lightnesses of four chromas a row; then steps of cyan, magenta, yellow, grey, red, green and blue; three columns of a
 * maker's own choice; a row of greys. The arrangement is the standard's, the figures are made up.
 */
function isoColours(): KnownTarget['known'] {
  const patches = new Map<string, { lab: LabD50 }>();
  HUES.forEach((hue, row) => {
    const letter = 'ABCDEFGHIJKL'[row];
    const bow = Math.cos(((hue - 95) * Math.PI) / 180);
    const levels = [22 + 10 * bow, 45 + 14 * bow, 70 + 10 * bow];
    for (let column = 1; column <= 12; column++) {
      const L = levels[Math.floor((column - 1) / 4)];
      const most = 55 - 0.6 * Math.abs(L - 50);
      patches.set(`${letter}${column}`, polar(L, (most * (1 + ((column - 1) % 4))) / 4, hue));
    }
    const step = (row + 0.5) / 12;
    const scales: readonly (readonly [least: number, chroma: number, hue: number])[] = [
      [50, 50, 235],
      [45, 65, 355],
      [85, 85, 95],
      [12, 0, 0],
      [42, 70, 35],
      [45, 55, 160],
      [22, 45, 285],
    ];
    scales.forEach(([least, chroma, own], k) => {
      patches.set(`${letter}${13 + k}`, polar(92 - (92 - least) * step, chroma * step, own));
    });
    for (let k = 0; k < 3; k++) {
      patches.set(
        `${letter}${20 + k}`,
        polar(30 + ((row * 37 + k * 23) % 60), (row * 11 + k * 29) % 40, row * 71 + k * 113),
      );
    }
  });
  for (let step = 0; step < 24; step++) patches.set(`GS${step}`, polar(92 - 3.4 * step, 0, 0));
  return { patches };
}

function polar(L: number, chroma: number, hueDeg: number): { lab: LabD50 } {
  const hue = (hueDeg * Math.PI) / 180;
  return { lab: labD50(L, chroma * Math.cos(hue), chroma * Math.sin(hue)) };
}

/** What some scanner makes of the colours: its own curve, white, black, cast and strength of colour, and a little of its own opinion on each. */
export function oddDevice({ patches }: KnownTarget['known'], seed: number): Map<string, Rgb> {
  const random = seededRandom(seed);
  const gamma = [1, 1.5, 1.8, 2.2, 2.4][Math.floor(5 * random())];
  const white = 0.82 + 0.16 * random();
  const cast = [1, 1, 1].map(() => 1 + 0.08 * (random() - 0.5));
  const black = 0.01 * random();
  const mixing = 0.25 * random();
  return new Map(
    [...patches].map(([id, { lab }]) => {
      const linear = times(XYZ_D50_TO_RGB, labToXyz(lab));
      const grey = (linear[0] + linear[1] + linear[2]) / 3;
      const [r, g, b] = linear.map((v, c) => {
        const mixed = Math.max(0, (1 - mixing) * v + mixing * grey) * (1 + 0.12 * (random() - 0.5)) + black;
        return Math.min(0.995, (white * cast[c] * mixed) ** (1 / gamma));
      });
      return [id, [r, g, b]];
    }),
  );
}
