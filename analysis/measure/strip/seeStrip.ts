/** A strip before any fit: laid straight, its lane followed, its paper divided out, its ends and what is wrong with it. */
import { findLane, stripView, type Lane, type StripView } from '../../locate/lane.ts';
import { paperEnd, paperStart } from '../../locate/paperEnd.ts';
import { straighten } from '../../locate/straighten.ts';
import type { Flag } from '../../quantity.ts';
import { absorbance, longTidelines, paperLine, ticks, type PaperLine } from './baseline.ts';
import { profileNoise, type ProfileNoise } from './noise.ts';
import type { Mark } from './marks.ts';
import { readProfile, type StripProfile } from './profile.ts';
import type { StripInput, StripOptions, Travel } from './strip.ts';
import { findFront, findOrigin } from './stripEnds.ts';
import { colouredAtEnd, colouredBelowOrigin, findShadow, unshaded } from './stripFaults.ts';
import type { Ends } from './tellStrip.ts';

export interface SeenStrip {
  /** Along the strip's own middle line, from the end where the run starts. */
  readonly view: StripView;
  readonly travel: Travel;
  /** The run goes against the box's own direction. */
  readonly reversed: boolean;
  /** mm along the strip → mm from the box's top (or left) edge. */
  readonly toBox: (mm: number) => number;
  readonly lane: Lane;
  readonly profile: StripProfile;
  readonly line: PaperLine;
  /** Above the paper, planar. */
  readonly density: Float64Array;
  readonly chance: ProfileNoise;
  readonly ends: Ends;
  readonly faults: readonly Flag[];
  /** Nobody gave an end, and neither edge, lane, line nor end of a strip is seen. */
  readonly nothingSeen: boolean;
}

/** Paper that is looked at before the origin and beyond the front, mm. */
const BEFORE_MM = 10;
const BEYOND_MM = 8;
const LEAST_RUN_MM = 5;
const LEAST_BINS = 24;
/** A line drawn at origin or front, with blank paper beyond it, looks like the paper's end; so near to the line it is none, mm. */
const LINE_MM = 1.2;
/** What is darker so near to the box's end may be the paper's own edge: no line is sure there, mm. */
const BORDER_MM = 1;
/** Rounding to blocks leaves this much of a box outside its strip, mm. */
const EDGE_MM = 0.5;

interface GivenEnds {
  readonly originMm: number | null;
  readonly frontMm: number | null;
}

/** What of a strip's input tells how it lies. */
export type Lying = Pick<StripInput, 'signal' | 'travel' | 'originMm' | 'frontMm'>;

/** null: too few pixels to tell anything. */
export function seeStrip(input: Lying, options: Required<StripOptions>): SeenStrip | null {
  const { travel } = input;
  const axis = travel === 'left' || travel === 'right' ? 'x' : 'y';
  const given = input.originMm !== null && input.frontMm !== null;
  const reversed = given ? input.frontMm < input.originMm : travel === 'up' || travel === 'left';
  const box = stripView(input.signal, axis, reversed);
  const lengthMm = box.along * box.pxMm;
  const turned = (mm: number): number => (reversed ? lengthMm - mm : mm);
  const inBox: GivenEnds = {
    originMm: input.originMm === null ? null : turned(input.originMm),
    frontMm: input.frontMm === null ? null : turned(input.frontMm),
  };
  const boxRows = rowsOf(box, inBox);
  const runMm = given ? Math.abs(input.frontMm - input.originMm) : lengthMm;
  if ((boxRows[1] - boxRows[0]) * box.pxMm < LEAST_BINS * options.binMm || runMm < LEAST_RUN_MM || box.across < 4)
    return null;
  const lie = straighten(box, boxRows);
  const view = lie?.view ?? box;
  const along = (mm: number | null): number | null => (mm === null ? null : (lie?.alongStrip(mm) ?? mm));
  const ends: GivenEnds = { originMm: along(inBox.originMm), frontMm: along(inBox.frontMm) };
  const rows = rowsOf(view, ends);
  const end = unlessAt(ends.frontMm, paperEnd(view, rows), view.pxMm);
  const start = unlessAt(ends.originMm, paperStart(view, rows), view.pxMm);
  const read = readLane(view, [start ?? rows[0], end ?? rows[1]], options);
  if (read === null) return null;
  const chance = profileNoise(read.profile, read.line, read.density);
  const found = endsOf(ends, read, view.pxMm, [start === null, end === null]);
  const { stripPx, fillsStrip } = read.lane;
  const edgeSeen = lie !== null || end !== null || stripPx[0] > 0 || (view.across - stripPx[1]) * view.pxMm > EDGE_MM;
  const lines = read.line.marks.length + read.line.crossing.length;
  const asked = input.originMm === null && input.frontMm === null;
  return {
    view,
    travel: axis === 'x' ? (reversed ? 'left' : 'right') : reversed ? 'up' : 'down',
    reversed,
    toBox: (mm) => turned(lie?.alongBox(mm) ?? mm),
    ...read,
    chance,
    ends: found,
    nothingSeen: asked && fillsStrip && lines === 0 && !edgeSeen,
    faults: faultsOf(found, read, end !== null, chance),
  };
}

/** An end of the paper, px; null where it is the line that is known to be there. */
function unlessAt(lineMm: number | null, endPx: number | null, pxMm: number): number | null {
  return lineMm !== null && endPx !== null && Math.abs(endPx * pxMm - lineMm) < LINE_MM ? null : endPx;
}

interface ReadLane {
  readonly lane: Lane;
  readonly profile: StripProfile;
  readonly line: PaperLine;
  readonly density: Float64Array;
  readonly shaded: boolean;
}

function readLane(view: StripView, rows: readonly [number, number], options: Required<StripOptions>): ReadLane | null {
  const lane = findLane(view, rows);
  const asSeen = readProfile(view, lane, rows, options);
  if (asSeen.bins < LEAST_BINS) return null;
  const shadow = findShadow(asSeen);
  const profile = shadow === null ? asSeen : unshaded(asSeen, shadow);
  const line = paperLine(profile);
  return { lane, profile, line, density: absorbance(profile, line), shaded: shadow !== null };
}

/** Rows along the run that are looked at: all, or those about a given origin and front (beyond them may lie the bed). */
function rowsOf(view: StripView, ends: GivenEnds): [number, number] {
  const from = ends.originMm === null ? 0 : (ends.originMm - BEFORE_MM) / view.pxMm;
  const to = ends.frontMm === null ? view.along : (ends.frontMm + BEYOND_MM) / view.pxMm;
  return [Math.min(view.along, Math.max(0, Math.round(from))), Math.max(0, Math.min(view.along, Math.round(to)))];
}

/** Given ends err by a pixel; what is not given is looked for. The last says whether what is looked at begins and ends with the box. */
function endsOf(
  given: GivenEnds,
  { profile, line, density }: ReadLane,
  pxMm: number,
  [startsAtBox, endsAtBox]: readonly [boolean, boolean],
): Ends {
  const { bins, firstMm, binMm } = profile;
  const inside = (found: readonly Mark[]): readonly Mark[] =>
    found.filter(
      ({ from, to }) => (!startsAtBox || from * binMm > BORDER_MM) && (!endsAtBox || (bins - to) * binMm > BORDER_MM),
    );
  const marks = inside([...line.marks, ...line.crossing].toSorted((a, b) => a.centre - b.centre));
  const lines = { bins, firstMm, binMm, marks, density };
  const front =
    given.frontMm === null
      ? (findFront(lines, given.originMm) ??
        findFront({ ...lines, marks: inside(ticks(profile)) }, given.originMm) ??
        findFront({ ...lines, marks: inside(longTidelines(line, profile)) }, given.originMm))
      : { mm: given.frontMm, uMm: 0 };
  const origin = given.originMm === null ? findOrigin(lines, front?.mm ?? null) : { mm: given.originMm, uMm: 0 };
  return {
    originMm: origin?.mm ?? null,
    frontMm: front?.mm ?? null,
    uOriginMm: Math.hypot(pxMm, origin?.uMm ?? 0),
    uFrontMm: Math.hypot(pxMm, front?.uMm ?? 0),
    found: (given.originMm === null && origin !== null) || (given.frontMm === null && front !== null),
  };
}

function faultsOf(
  ends: Ends,
  { profile, density, shaded }: ReadLane,
  endSeen: boolean,
  { covariance }: ProfileNoise,
): Flag[] {
  const faults: Flag[] = [];
  const { bins, binMm } = profile;
  const noise = Math.sqrt(covariance.reduce((sum, v) => sum + v, 0));
  if (shaded) faults.push('shadow');
  if (ends.frontMm === null && colouredAtEnd(density, bins, binMm, noise))
    faults.push(endSeen ? 'front-off-strip' : 'strip-cut-off');
  if (ends.originMm !== null && colouredBelowOrigin(density, profile, ends.originMm, noise))
    faults.push('origin-submerged');
  return faults;
}
