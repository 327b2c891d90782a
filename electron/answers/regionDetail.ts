/** What pictures and plots of one measured region need. */
import type { InkDetail, RegionDetail, StripDetail } from '../backend/api.ts';
import type { StripMeasure } from '../../analysis/measure/strip/measureStrip.ts';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { coloursDoubt } from './coloursDoubt.ts';
import { type JsonBytes, KeptAnswers } from './keptAnswers.ts';
import { standingOf } from './standing.ts';
import { measuredRegion } from '../jobs/measuredRegion.ts';
import type { RegionResult } from '../jobs/tasks.ts';
import type { Library } from '../library/library.ts';

/**
 * Of the region as it was last measured, which may be older than the region. Null: never measured.
 * @param through What a scan's colours come through; null: not known, and no colour has its doubt.
 */
export async function regionDetail(
  library: Library,
  ink: number,
  region: string,
  through: (scan: string) => Promise<Calibration | null> = () => Promise.resolve(null),
): Promise<RegionDetail | null> {
  const found = await lastMeasured(library, ink, region);
  if (!found) return null;
  const { result, boxPx, scan } = found;
  const colours = { ink: inkDetail(result), edge: result.edge ?? null, strip: stripDetail(result.strip) };
  const calibration = await through(scan);
  return {
    region,
    scan,
    boxPx,
    marks: result.marks !== null,
    ...colours,
    ...(calibration && { doubt: coloursDoubt(colours, calibration, result.quantities) }),
  };
}

/** A page of plots asks for a dozen regions, some 60 kB each. */
const kept = new KeptAnswers(64);

/** The same in JSON. */
export async function regionDetailInJson(
  library: Library,
  ink: number,
  region: string,
  through: (scan: string) => Promise<Calibration | null>,
): Promise<JsonBytes | null> {
  const scan = scanOf(library, ink, region);
  const calibration = scan === undefined ? null : await through(scan);
  const name = `${ink} ${region}`;
  const toldOf = [library.findings(ink), scan, calibration];
  const known = kept.get(name, toldOf);
  if (known) return known;
  const detail = await regionDetail(library, ink, region, () => Promise.resolve(calibration));
  return detail && kept.keep(name, toldOf, detail);
}

/** Class of each pixel (measure/ink.ts INK_MARKS), row by row; null: none, or never measured. */
export async function regionMarks(
  library: Library,
  ink: number,
  region: string,
): Promise<{ readonly data: Uint8Array; readonly columns: number; readonly rows: number } | null> {
  const marks = (await lastMeasured(library, ink, region))?.result.marks;
  return marks ? { data: marks.data, columns: marks.widthPx, rows: marks.heightPx } : null;
}

/** A region's last result, with its box and scan; null: never measured. */
export async function lastMeasured(library: Library, ink: number, region: string) {
  const scan = scanOf(library, ink, region);
  const own = library
    .findings(ink)
    ?.findings.find(({ finding: { subject } }) => subject.regions.length === 1 && subject.regions[0] === region);
  if (scan === undefined || !own) return null;
  const found = await measuredRegion(library, own.regionKeys[0]);
  return found && { ...found, scan };
}

function scanOf(library: Library, ink: number, region: string): string | undefined {
  return standingOf(library, ink).document.regions.find(({ id }) => id === region)?.scan;
}

function inkDetail({ ink, spread }: RegionResult): InkDetail | null {
  if (!ink || !spread) return null;
  return {
    lab: ink.colour.lab,
    paper: ink.paper.lab,
    dark: spread.dark,
    light: spread.light,
    lightness: spread.lightness,
  };
}

function stripDetail(strip: StripMeasure | null): StripDetail | null {
  if (!strip) return null;
  const { profile, bands, originMm, frontMm, travel } = strip;
  const three = (curves: StripMeasure['profile']['absorbance']): StripDetail['absorbance'] => [
    [...curves[0]],
    [...curves[1]],
    [...curves[2]],
  ];
  return {
    travel,
    originMm,
    frontMm,
    placesMm: [...profile.positionMm],
    lab: profile.lab,
    absorbance: three(profile.absorbance),
    fitted: three(profile.fitted),
    bands: bands.map((band) => ({
      band: band.number,
      centreMm: band.apexMm,
      fromMm: band.spanMm[0],
      toMm: band.spanMm[1],
      lab: band.colour,
      rF: band.rF?.value ?? null,
      share: band.sharePercent.value,
    })),
  };
}
