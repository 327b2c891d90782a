/** A card's own reference, taught by scanning it beside a target whose values are known. */
import { cgatsTable } from './cgatsTable.ts';
import { xyzToLab, type LabD50, type Xyz } from '../colour/lab.ts';
import type { LabValue } from '../quantity.ts';
import { triple } from '../triple.ts';
import type { Calibration, PatchReading, ReferencePatch, SurroundReading, TargetReference } from './calibration.ts';
import { CalibrationError } from './calibrationError.ts';
import { lightAtCard, type CardLight } from './cardLight.ts';
import { predictColour } from './colourFit.ts';
import { MOST_COVERED, unevenPatches } from './covered.ts';
import { curveFunction } from './toneCurve.ts';
import { colourUncertainty } from './uncertainty.ts';

/** One scan with the known target and the card in it. */
export interface TeachingScan {
  /** By the known target. */
  readonly calibration: Calibration;
  /** Bare parts of the known target and of the card; each piece is of one paper, and they may differ. */
  readonly knownSurround: readonly SurroundReading[];
  readonly cardSurround: readonly SurroundReading[];
  readonly card: readonly PatchReading[];
}

type Triple = readonly [number, number, number];

/** A patch with more of its pixels at an end of the scale teaches nothing, as for calibrating. */
const CLIPPED = 0.005;
/** Neighbouring pixels share blur and grain of print and paper: so many speak as one. Common practice, no source. */
const PIXELS_AS_ONE = 16;
/** A scan that stands alone does not show how well it repeats: warm-up, placement, dust. In L*, a*, b*; common practice, no source. */
const SINGLE_SCAN: LabValue = [0.15, 0.15, 0.15];
/** A patch that something lies on keeps its place in the reference and has no say in a fit. In L*, a*, b*. */
const COVERED_DOUBT = 10;
/** Share of the light's doubt that one channel may have against the others. */
const CHANNEL_SHARE = 0.3;

/**
 * Lab (D50) of every patch: XYZ by the known target's calibration, mean of the scans. Its u per component in quadrature:
 * how well the patch repeats (from its pixels, and from scan to scan; the only part that more scans make smaller), what the
 * calibration may be off by (analysis/calibrate/uncertainty.ts, metamerism between the two prints with it), and the light
 * between the two places.
 * @param scans One or more, all of the same card. Throws a CalibrationError 'card-clipped' or 'card-covered'.
 */
export function teachCard(scans: readonly TeachingScan[]): TargetReference {
  const seen = scans.map(seeCard);
  const ids = scans[0].card.map((reading) => reading.id);
  const covered = coveredIn(scans);
  const means = ids.map((_, i): Xyz => meanOf(seen.map((scan) => scan.patches[i].xyz)));
  const labs = means.map(xyzToLab);
  const scatter = scatterBetween(seen.map((scan) => scan.patches.map(({ xyz }) => xyzToLab(xyz))));
  const patches = ids.map((id, i): readonly [string, ReferencePatch] => {
    const single = rootMean(seen.map((scan) => scan.patches[i].pixels));
    const known = rootMean(scans.map(({ calibration }) => colourUncertainty(labs[i], calibration)));
    const light = rootMean(seen.map((scan) => scan.patches[i].light));
    const u = triple((k) => {
      const once = Math.max(Math.hypot(single[k], scans.length === 1 ? SINGLE_SCAN[k] : 0), scatter?.[k] ?? 0);
      return Math.hypot(once / Math.sqrt(scans.length), known[k], light[k], covered.has(id) ? COVERED_DOUBT : 0);
    });
    return [id, { lab: labs[i], u }];
  });
  return { patches: new Map(patches), notes: notesOf(seen, scatter, covered) };
}

/** Ids of patches that something lies on in one of the scans. */
function coveredIn(scans: readonly TeachingScan[]): ReadonlySet<string> {
  const covered = new Set(scans.flatMap(({ card }) => [...unevenPatches(card)]));
  const count = scans[0].card.length;
  if (covered.size > MOST_COVERED * count) {
    throw new CalibrationError(
      'card-covered',
      `${covered.size} of the card's ${count} patches are not even inside (${[...covered].slice(0, 5).join(', ')}, …); expected none. ` +
        `Take away what lies on the card, wipe the glass and scan anew; if it is the print, print another card.`,
    );
  }
  return covered;
}

interface SeenPatch {
  readonly xyz: Xyz;
  /** Standard uncertainties in L*, a*, b*: from the patch's own pixels, and from the light. */
  readonly pixels: LabValue;
  readonly light: LabValue;
}

interface SeenCard {
  readonly patches: readonly SeenPatch[];
  readonly light: CardLight;
}

function seeCard({ calibration, knownSurround, cardSurround, card }: TeachingScan): SeenCard {
  const clipped = card.filter((reading) => reading.clippedShare > CLIPPED).map((reading) => reading.id);
  if (clipped.length > 0) {
    throw new CalibrationError(
      'card-clipped',
      `${clipped.length} of the card's ${card.length} patches stand at an end of the scanner's scale ` +
        `(${clipped.slice(0, 5).join(', ')}${clipped.length > 5 ? ', …' : ''}); expected none. ` +
        `Scan both anew with a lower exposure and without automatic correction.`,
    );
  }
  const curves = calibration.curves.map(curveFunction);
  const light = lightAtCard(
    calibration,
    knownSurround,
    cardSurround,
    card.map((reading) => reading.centreMm),
  );
  const patches = card.map((reading): SeenPatch => {
    const lit = triple((c) => light.at(c, reading.centreMm));
    const signalOf = (device: Triple): Triple => triple((c) => curves[c](device[c]) / lit[c]);
    const signal = signalOf(reading.device);
    const moved = (s: Triple): LabD50 => xyzToLab(predictColour(calibration, s));
    const shares = Math.sqrt(Math.max(1, reading.pixels / PIXELS_AS_ONE));
    return {
      xyz: predictColour(calibration, signal),
      pixels: spreadOf(
        moved(signal),
        [0, 1, 2].map((c) => moved(signalOf(plus(reading.device, c, reading.sd[c] / shares)))),
      ),
      light: lightDoubt(signal, light.doubt, calibration),
    };
  });
  return { patches, light };
}

/** A level common to the channels, and a part that each has of its own. */
function lightDoubt(signal: Triple, doubt: number, calibration: Calibration): LabValue {
  const lab = (s: Triple): LabD50 => xyzToLab(predictColour(calibration, s));
  const all = triple((c) => signal[c] * (1 + doubt));
  const apart = [0, 1, 2].map((c) => plus(signal, c, signal[c] * doubt * CHANNEL_SHARE));
  return spreadOf(lab(signal), [all, ...apart].map(lab));
}

function plus(values: Triple, channel: number, step: number): Triple {
  return triple((c) => values[c] + (c === channel ? step : 0));
}

/** Independent steps added in quadrature, per component. */
function spreadOf(from: LabD50, stepped: readonly LabD50[]): LabValue {
  return triple((k) => Math.hypot(...stepped.map((lab) => lab[k] - from[k])));
}

/** Standard deviation of one scan about the mean of all, pooled over the patches; null for a single scan. */
function scatterBetween(scans: readonly (readonly LabD50[])[]): LabValue | null {
  if (scans.length < 2) return null;
  const patches = scans[0].length;
  return triple((k) => {
    let sum = 0;
    for (let i = 0; i < patches; i++) {
      const values = scans.map((scan) => scan[i][k]);
      const mean = values.reduce((a, b) => a + b, 0) / values.length;
      for (const value of values) sum += (value - mean) ** 2;
    }
    return Math.sqrt(sum / (patches * (scans.length - 1)));
  });
}

function rootMean(values: readonly LabValue[]): LabValue {
  return triple((k) => Math.sqrt(values.reduce((sum, v) => sum + v[k] ** 2, 0) / values.length));
}

function meanOf(values: readonly Xyz[]): Xyz {
  return triple((k) => values.reduce((sum, v) => sum + v[k], 0) / values.length);
}

function notesOf(seen: readonly SeenCard[], scatter: LabValue | null, covered: ReadonlySet<string>): string[] {
  const blind = seen.filter(({ light }) => light.by === 'the card alone' || light.by === 'nothing').length;
  const once = 'taught by one scan, which does not show how well it repeats; two or three with the card turned do';
  return [
    scatter === null
      ? once
      : `taught by ${seen.length} scans that repeat within ${scatter.map((v) => v.toFixed(2)).join(', ')} in L*, a*, b*`,
    ...(covered.size > 0
      ? [`something lies on ${[...covered].join(', ')}; these patches teach nothing and will have no say`]
      : []),
    ...(blind > 0
      ? [
          `the known target shows no bare parts, so the light between it and the card is not known in ${blind} of ${seen.length} scans; its doubt is in u`,
        ]
      : []),
  ];
}

export interface TaughtFrom {
  /** Name of the target that taught it. */
  readonly known: string;
  readonly printer?: string;
  /** ISO date of the teaching, from the host. */
  readonly date?: string;
}

/** CGATS.17 text with LAB_L LAB_A LAB_B and STDEV_L STDEV_A STDEV_B, the standard uncertainties. */
export function taughtReferenceText(reference: TargetReference, { known, printer, date }: TaughtFrom): string {
  const rows = [...reference.patches].map(([id, { lab, u }]) =>
    [id, ...lab.map((v) => v.toFixed(3)), ...(u ?? [0, 0, 0]).map((v) => v.toFixed(3))].join('\t'),
  );
  const fields = ['SAMPLE_ID', 'LAB_L', 'LAB_A', 'LAB_B', 'STDEV_L', 'STDEV_A', 'STDEV_B'];
  return [
    'CGATS.17',
    'ORIGINATOR "Wetline, taught"',
    `DESCRIPTOR "${quoted(`taught by ${known}`)}"`,
    ...(date === undefined ? [] : [`CREATED "${quoted(date)}"`]),
    ...(printer === undefined ? [] : [`PRINTER "${quoted(printer)}"`]),
    'ILLUMINATION_NAME "D50"',
    'OBSERVER_ANGLE "2"',
    '# STDEV is the standard uncertainty of each value, k = 1: repeatability, the known target and the light between the two.',
    ...(reference.notes ?? []).map((note) => `# ${note.replaceAll(/[\r\n]+/g, ' ')}`),
    ...cgatsTable(fields, rows),
  ].join('\n');
}

function quoted(text: string): string {
  return text.replaceAll('"', '""').replaceAll(/[\r\n]+/g, ' ');
}
