/**
 * Spectra of a target of which only Lab is known, by what it may be printed with (prints.ts): whatever the dyes are, every patch is printed so that it has
 * its Lab. The patches share the dyes, and so what is in doubt of one is in doubt of all; the sensors' fit finds the dyes out beside the sensors.
 */
import { type LabD50, labToXyz, type Xyz, xyzToLab } from '../colour/lab.ts';
import { GRID, xyzOnGrid } from './grid.ts';
import { movedOnto } from './patchSpectra.ts';
import { type Print, type Printing, printOf, PROPERTIES } from './prints.ts';
import { solve3 } from '../solve3.ts';

const COUNT = GRID.count;
/** Newton: from nothing, and from where the last properties had it. */
const STEPS = { first: 9, next: 2 } as const;
/** In cube roots of XYZ: a hundredth of a step of L*. */
const CLOSE = 1e-4;
/**
 * Of a print with a black: how far all patches together, and each by itself, may lie between the two ways to print them. Chosen on seeds 101–134: with
 * less of their own, patches of five inks at once outweigh the others.
 */
const BLACK = { shared: 0.3, own: 0.5, ownOfGrey: 0.09 } as const;
/** An amount as good as none still leaves room for as much of another ink. */
const LEAST_ROOM = 0.02;

export interface TargetSpectra {
  /** One reflectance a patch. */
  readonly mean: readonly Float64Array[];
  /** modes[j][i]: how patch i goes with the j-th doubt that all patches share, a unit normal. */
  readonly modes: readonly (readonly Float64Array[])[];
  /** Per patch: doubts of its own, unit normals times these. */
  readonly own: readonly (readonly Float64Array[])[];
}

interface PrintedTarget {
  /** How many doubts all patches share. */
  readonly count: number;
  /** The spectra, and how they go on from there. What it gave before is overwritten. */
  readonly at: (z: Float64Array) => TargetSpectra;
}

/** @param labs the patches' known colours, D50, 2° @param greys which of them are grey steps */
export function printedTarget(labs: readonly LabD50[], greys: readonly boolean[], printing: Printing): PrintedTarget {
  const xyz = labs.map((lab) => labToXyz(lab));
  const white = xyz.reduce((most, one) => (one[1] > most[1] ? one : most));
  return printing === 'inks' ? withBlack(labs, xyz, white, greys) : ofThreeDyes(xyz, white, printing);
}

function ofThreeDyes(xyz: readonly Xyz[], white: Xyz, printing: Printing): PrintedTarget {
  const count = PROPERTIES[printing];
  const patches = xyz.map((wanted) => emptyPatch(wanted, [0, 1, 2], count, 3));
  const own = xyz.map(() => []);
  const modes = Array.from({ length: count }, (_, j) => patches.map(({ slopes }) => slopes[j]));
  return {
    count,
    at: (z) => {
      const print = printOf(printing, white, z);
      for (const patch of patches) printPatch(print, patch);
      return { mean: patches.map(({ mean }) => mean), modes, own };
    },
  };
}

/** Every patch lies between two ways to print it: the two inks next in hue and black, or without black and with the ink on the other side. */
function withBlack(labs: readonly LabD50[], xyz: readonly Xyz[], white: Xyz, greys: readonly boolean[]): PrintedTarget {
  const properties = PROPERTIES.inks;
  const usual = printOf('inks', white, new Float64Array(properties));
  const hues = huesOf(usual);
  const pairs = labs.map((lab, i) =>
    waysOf(lab, hues).map((inks) => emptyPatch(xyz[i], inks, properties, usual.amounts)),
  );
  const spectra = (count: number): Float64Array[] => Array.from({ length: count }, () => new Float64Array(COUNT));
  const mean = spectra(labs.length);
  const modes = Array.from({ length: properties + 2 }, () => spectra(labs.length));
  const own = pairs.map(([black]) => spectra(1 + usual.amounts - black.inks.length));
  return {
    count: properties + 2,
    at: (z) => {
      const print = printOf('inks', white, z.subarray(0, properties));
      pairs.forEach(([black, colours], i) => {
        printPatch(print, black);
        printPatch(print, colours);
        const mine = properties + (greys[i] ? 1 : 0);
        const weight = 0.5 + BLACK.shared * z[mine];
        mix(weight, black.mean, colours.mean, mean[i]);
        for (let j = 0; j < properties; j++) mix(weight, black.slopes[j], colours.slopes[j], modes[j][i]);
        const share = greys[i] ? BLACK.ownOfGrey : BLACK.own;
        const [apart, ...others] = own[i];
        for (let l = 0; l < COUNT; l++) {
          const between = black.mean[l] - colours.mean[l];
          modes[mine][i][l] = BLACK.shared * between;
          apart[l] = share * between;
        }
        otherInks(print, black, share, others);
      });
      return { mean, modes, own };
    },
  };
}

interface Patch {
  readonly wanted: Xyz;
  /** The three inks that it is printed with. */
  readonly inks: readonly number[];
  readonly amounts: Float64Array;
  /** Nothing printed yet. */
  fresh: boolean;
  mean: Float64Array;
  /** By each property, the patch's Lab held. */
  readonly slopes: readonly Float64Array[];
}

function emptyPatch(wanted: Xyz, inks: readonly number[], properties: number, amounts: number): Patch {
  return {
    wanted,
    inks,
    amounts: new Float64Array(amounts),
    fresh: true,
    mean: new Float64Array(COUNT),
    slopes: Array.from({ length: properties }, () => new Float64Array(COUNT)),
  };
}

const reflected = new Float64Array(COUNT);
const byInk = [0, 1, 2].map(() => new Float64Array(COUNT));

/** Where three inks tell no way, the amounts stay. */
const NO_MOVE = [0, 0, 0] as const;

/** The three amounts that give the wanted XYZ, by Newton's method on cube roots; what is left is moved. */
function printPatch(print: Print, patch: Patch): void {
  const { wanted, inks, amounts, slopes } = patch;
  const { most } = print;
  const goal = wanted.map((v) => Math.cbrt(v));
  if (patch.fresh) inks.forEach((n, k) => (amounts[n] = 0.4 * most * Math.max(0, 1 - goal[k])));
  const steps = patch.fresh ? STEPS.first : STEPS.next;
  patch.fresh = false;
  for (let step = 0; step < steps; step++) {
    print.reflect(amounts, reflected);
    const here = xyzOnGrid(reflected).map((v) => Math.cbrt(v));
    const rest = goal.map((v, k) => v - here[k]);
    if (Math.max(...rest.map(Math.abs)) < CLOSE) break;
    inks.forEach((n, k) => print.byAmount(n, byInk[k]));
    const slopes = byInk.map((by) => xyzOnGrid(by).map((v, k) => v / (3 * here[k] * here[k])));
    const move = solve3(slopes, rest, 1e-30) ?? NO_MOVE;
    const share = Math.min(1, (0.35 * most) / Math.max(...move.map(Math.abs)));
    inks.forEach((n, k) => (amounts[n] = Math.min(most, Math.max(-0.02 * most, amounts[n] + share * move[k]))));
  }
  print.reflect(amounts, reflected);
  inks.forEach((n, k) => print.byAmount(n, byInk[k]));
  const hold = holder();
  slopes.forEach((slope, j) => {
    print.byProperty(j, slope);
    hold(slope);
  });
  patch.mean = movedOnto(wanted, reflected);
}

/** Takes off a change of reflectance what the three inks must make up for, so that XYZ stays; gives their amounts. */
function holder(): (change: Float64Array) => readonly [number, number, number] {
  const columns = byInk.map(xyzOnGrid);
  const unit = (k: number): number[] => [0, 1, 2].map((a) => (a === k ? 1 : 0));
  const inverse = [0, 1, 2].map((k) => solve3(columns, unit(k), 1e-30) ?? NO_MOVE);
  return (change) => {
    const back: [number, number, number] = [0, 0, 0];
    xyzOnGrid(change).forEach((off, k) => {
      for (let a = 0; a < 3; a++) back[a] += inverse[k][a] * off;
    });
    for (let l = 0; l < COUNT; l++) change[l] -= back[0] * byInk[0][l] + back[1] * byInk[1][l] + back[2] * byInk[2][l];
    return back;
  };
}

/** A share of as much of each other ink as can go in for the patch's three, the Lab held. @param ways filled, one an ink */
function otherInks(print: Print, { inks, amounts }: Patch, share: number, ways: readonly Float64Array[]): void {
  print.reflect(amounts, reflected);
  inks.forEach((n, k) => print.byAmount(n, byInk[k]));
  const hold = holder();
  const others = Array.from({ length: print.amounts }, (_, n) => n).filter((n) => !inks.includes(n));
  for (const [i, n] of others.entries()) {
    const way = ways[i];
    print.byAmount(n, way);
    const back = hold(way);
    const room = inks.map((ink, k) => (back[k] > 0 ? Math.max(LEAST_ROOM, amounts[ink]) / back[k] : 1));
    const most = Math.min(1, ...room);
    for (let l = 0; l < COUNT; l++) way[l] = share * (most * way[l]);
  }
}

/** Fills with so much of one and the rest of the other. */
function mix(weight: number, one: Float64Array, other: Float64Array, out: Float64Array): void {
  for (let l = 0; l < COUNT; l++) out[l] = weight * one[l] + (1 - weight) * other[l];
}

/** Of every ink but the black, at unit amount. */
function huesOf(print: Print): number[] {
  return Array.from({ length: print.amounts - 1 }, (_, n) => {
    const amounts = new Float64Array(print.amounts);
    amounts[n] = 1;
    print.reflect(amounts, reflected);
    return hueOf(xyzToLab(xyzOnGrid(reflected)));
  });
}

/** The two inks on either side of a hue, once with the black, which is the last, and once with the ink across. */
function waysOf(lab: LabD50, hues: readonly number[]): [readonly number[], readonly number[]] {
  const turn = 2 * Math.PI;
  const away = (n: number): number => (hues[n] - hueOf(lab) + 2 * turn) % turn;
  const order = hues.map((_, n) => n).sort((a, b) => away(a) - away(b));
  const [next, last] = [order[0], order[order.length - 1]];
  const across = order
    .slice(1, -1)
    .reduce((best, n) => (Math.abs(away(n) - Math.PI) < Math.abs(away(best) - Math.PI) ? n : best));
  return [
    [next, last, hues.length],
    [next, last, across],
  ];
}

function hueOf([, a, b]: LabD50): number {
  return Math.atan2(b, a);
}
