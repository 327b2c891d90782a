/** Colour names that people agree on: the ISCC–NBS system, by block, not by the nearest centroid (which names a third otherwise). */
import { bradford } from './adapt.ts';
import { NAMES, WEDGES } from './isccNbsBlocks.ts';
import { D50, labD50, labToXyz } from './lab.ts';
import { ILLUMINANT_C, xyzToMunsell } from './munsell.ts';
import type { LabD50 } from './lab.ts';
import type { Munsell } from './munsell.ts';

interface Wedge {
  readonly from: number;
  readonly boxes: readonly Box[];
}

interface Box {
  readonly valueFrom: number;
  readonly valueTo: number;
  readonly chromaFrom: number;
  readonly chromaTo: number;
  readonly name: string;
}

const FAMILIES = ['R', 'YR', 'Y', 'GY', 'G', 'BG', 'B', 'PB', 'P', 'RP'];

let wedgesRead: readonly Wedge[] | null = null;

/** The wedges by rising hue; the last one reaches past 100 to the first. Read for the first name: what loads this file seldom asks for one. */
function wedges(): readonly Wedge[] {
  wedgesRead ??= WEDGES.map(([from, boxes]) => ({
    from: hueNumber(from),
    boxes: boxes.split('; ').map(readBox),
  })).sort((a, b) => a.from - b.from);
  return wedgesRead;
}

/** Directions of unit length to the six faces and eight corners of a cube. */
const DIRECTIONS: readonly (readonly [number, number, number])[] = [-1, 0, 1].flatMap((l) =>
  [-1, 0, 1].flatMap((a) =>
    [-1, 0, 1].flatMap((b): [number, number, number][] => {
      const nonZero = Math.abs(l) + Math.abs(a) + Math.abs(b);
      const unit = 1 / Math.sqrt(nonZero);
      return nonZero === 1 || nonZero === 3 ? [[l * unit, a * unit, b * unit]] : [];
    }),
  ),
);

/**
 * ISCC–NBS name of a colour, such as 'strong purplish blue'. Defined for every Lab: colours beyond real surfaces take the
 * name of the open-ended block that they run into.
 * Source: Kelly & Judd (1976), NBS SP 440; Bradford from D50 to illuminant C, then the Munsell renotation of 1943.
 */
export function isccNbsName(lab: LabD50): string {
  return blockName(xyzToMunsell(bradford(labToXyz(lab), D50, ILLUMINANT_C)));
}

/**
 * The colour's own name first, then the names of blocks whose border lies within u of it (u: one value each for L*, a*, b*),
 * nearest agreement first. Usually one or two.
 */
export function isccNbsNames(lab: LabD50, u: readonly [number, number, number]): string[] {
  const own = isccNbsName(lab);
  const votes = new Map<string, number>();
  for (const [l, a, b] of DIRECTIONS) {
    const name = isccNbsName(labD50(lab[0] + l * u[0], lab[1] + a * u[1], lab[2] + b * u[2]));
    if (name !== own) votes.set(name, (votes.get(name) ?? 0) + 1);
  }
  const others = [...votes].sort(([nameA, a], [nameB, b]) => b - a || (nameA < nameB ? -1 : 1));
  return [own, ...others.map(([name]) => name)];
}

/** Name of the block that holds a Munsell colour; a border belongs to the block above it. */
export function blockName(colour: Munsell): string {
  const all = wedges();
  const wedge = all.findLast(({ from }) => from <= colour.hue) ?? all[all.length - 1];
  const box = wedge.boxes.find(
    ({ valueFrom, valueTo, chromaFrom, chromaTo }) =>
      colour.value >= valueFrom && colour.value < valueTo && colour.chroma >= chromaFrom && colour.chroma < chromaTo,
  );
  // The boxes tile every wedge, so only a colour that is not a number misses them all.
  return box?.name ?? 'unnamed';
}

/** '7.5PB' → 77.5, on the scale of `Munsell.hue`. */
export function hueNumber(notation: string): number {
  const letters = notation.replace(/[\d.]/g, '');
  return (10 * FAMILIES.indexOf(letters) + Number(notation.slice(0, -letters.length))) % 100;
}

function readBox(text: string): Box {
  const [valueFrom, valueTo, chromaFrom, chromaTo, number] = text
    .split(' ')
    .map((s) => (s === '-' ? Infinity : Number(s)));
  return { valueFrom, valueTo, chromaFrom, chromaTo, name: NAMES[number - 1] };
}
