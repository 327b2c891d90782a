/** An ink's film fits as the window is told of them. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { colourUncertainty } from '../../analysis/calibrate/uncertainty.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import type { FittedCurve, FittedInk } from '../../analysis/measure/film/fittedInk.ts';
import type { FilmAnswer, FilmCurve, FilmOfInk, FilmPoint } from '../backend/filmAnswer.ts';
import { recalledFilms } from '../jobs/keptFilms.ts';
import type { InkDocument } from '../library/document.ts';
import type { Library } from '../library/library.ts';
import type { SavedFinding } from '../library/results.ts';
import { standingOf } from './standing.ts';
import { type JsonBytes, KeptAnswers } from './keptAnswers.ts';

const NO_TARGET =
  'No target serves their scan, so nothing tells what the scanner’s channels see. Scan a target with the same settings.';
const NO_PAPER =
  'No bare paper was found beside them. Leave paper free around the ink, and mark some of it as a paper region.';
const CHANGED = 'Samples have changed since the ink was last fitted as a film. Measure again.';

const keptFilms = new KeptAnswers(4);

/** The same in JSON. Fits are remembered ahead of the findings that came of them, so that these tell both. */
export function filmInJson(library: Library, ink: number): JsonBytes {
  const toldOf = [library, library.revision(ink), library.findings(ink)];
  return keptFilms.get(String(ink), toldOf) ?? keptFilms.keep(String(ink), toldOf, filmOf(library, ink));
}

/** Of the ink as it was last measured. */
export function filmOf(library: Library, ink: number): FilmAnswer {
  const document = library.document(ink);
  const findings = library.findings(ink)?.findings ?? [];
  const colours = findings.filter(({ finding }) => finding.quantity === 'inkColour');
  if (colours.length === 0) return { fits: [], missing: [] };
  const kept = recalledFilms(library, ink);
  const unfitted = lines([
    [NO_TARGET, colours.filter(({ finding }) => finding.flags.includes('uncalibrated'))],
    [NO_PAPER, colours.filter(({ finding }) => finding.flags.includes('no-bare-paper'))],
  ]);
  if (kept === null) return { fits: [], missing: [...unfitted, ...lines([[CHANGED, colours]])] };
  return {
    fits: kept.flatMap(({ inks }) => inks.map((one) => filmOfInk(one, document, throughOf(library, ink)))),
    missing: [...kept.flatMap(({ missing }) => missing), ...unfitted],
  };
}

function lines(groups: readonly (readonly [words: string, of: readonly SavedFinding[]])[]): FilmAnswer['missing'] {
  return groups
    .filter(([, of]) => of.length > 0)
    .map(([words, of]) => ({ regions: of.map(({ finding }) => finding.subject.regions[0]), words }));
}

function filmOfInk(
  { points, curves, ends, strangers, taughtBy, absorption, quality, advice }: FittedInk,
  document: InkDocument,
  through: (scan: string) => Calibration | null,
): FilmOfInk {
  const onCurve = points.filter(({ region }) => !strangers.includes(region));
  return {
    regions: [...new Set(onCurve.map(({ region }) => region))],
    taughtBy,
    absorption,
    curves: curves.map((curve) => filmCurve(curve, document)),
    points: points.map((point): FilmPoint => {
      const { paper, scan } = placeOf(point.region, document);
      const calibration = through(scan);
      const byMapU = calibration && colourUncertainty(labD50(...point.byMap), calibration, 'ink');
      return { ...point, paper, byMapU };
    }),
    ends,
    quality,
    advice,
  };
}

/** What each scan's colours come through by now. */
function throughOf(library: Library, ink: number): (scan: string) => Calibration | null {
  const { scans } = standingOf(library, ink);
  return (scan) => {
    const key = scans.get(scan)?.target?.key;
    return key === undefined ? null : (library.calibration(key)?.calibration ?? null);
  };
}

/** By a region that is still there: one that was removed since tells no paper. */
function filmCurve({ regions, ...curve }: FittedCurve, document: InkDocument): FilmCurve {
  const there = regions.find((id) => document.regions.some((region) => region.id === id));
  return { ...placeOf(there ?? regions[0], document), ...curve };
}

function placeOf(id: string, { regions, scans }: InkDocument): { paper: string; scan: string } {
  const region = regions.find((one) => one.id === id);
  const scan = region?.scan ?? '';
  const paper = region && 'paper' in region ? region.paper : undefined;
  return { scan, paper: paper ?? scans.find((one) => one.id === scan)?.paper ?? scan };
}
