/** What the window asks about strips: one laid straight, those that lie on a scan, whose dyes lie where. */
import { dyesByColour } from '../../analysis/measure/strip/dyeColours.ts';
import type { Band, StripMeasure } from '../../analysis/measure/strip/measureStrip.ts';
import { addingDyesOf, dyesOf } from '../../analysis/measure/strip/unmix.ts';
import type { AnswerDye, DyesAnswer, DyesAlong, DyesOver, StripsOnScan } from '../backend/stripAnswers.ts';
import { JobError } from '../jobs/jobError.ts';
import type { Measuring } from '../jobs/measuring.ts';
import type { DyesAlongResult, DyesOverResult } from '../jobs/stripTasks.ts';
import type { Library } from '../library/library.ts';
import { uncalibratedBy } from '../scans/uncalibrated.ts';
import type { SheetRegion } from '../sheet/sheetSchema.ts';
import { lastMeasured } from './regionDetail.ts';
import { standingOf } from './standing.ts';

type About = 'of' | 'over' | 'dyes' | 'sameCalibration';
type StripRegion = Extract<SheetRegion, { kind: 'strip' }>;

/**
 * PNG, kept until something of what the strip is measured from changes: laying it straight takes a second, and starting what does it another.
 * @throws JobError 'no-such-region', 'no-such-scan', 'scan-gone', 'calibration-failed', 'few-pixels'
 */
export async function straightStrip(
  library: Library,
  measuring: Measuring,
  ink: number,
  id: string,
  signal?: AbortSignal,
): Promise<Uint8Array> {
  const region = stripRegion(library, ink, id);
  const { boxMm } = region;
  if (!boxMm) throw new JobError('no-such-region', `Strip “${id}” has no box; draw one on the Scans page.`);
  const madeFrom = standingOf(library, ink).madeFrom.get(id);
  const key = madeFrom === undefined ? null : `straight/1:${travelOf(region)}:${madeFrom}`;
  const kept = key === null ? null : library.recall(key);
  if (kept !== null) return kept;
  const { place, calibration } = await openScan(library, measuring, ink, region.scan, signal);
  const task = {
    task: 'straight' as const,
    ...place,
    calibration,
    boxPx: boxInPx(boxMm, place),
    travel: travelOf(region),
    originMm: region.originMm ?? null,
    frontMm: region.frontMm ?? null,
  };
  const { png } = await measuring.strips((runner) => runner.straight(task, signal));
  if (png === null) {
    throw new JobError(
      'few-pixels',
      `Strip “${id}” is too small to be seen as one; draw its box over the whole strip.`,
    );
  }
  if (key !== null) library.remember(key, 'straight', png);
  return png;
}

export async function stripsOnScan(
  library: Library,
  measuring: Measuring,
  ink: number,
  scan: string,
  signal?: AbortSignal,
): Promise<StripsOnScan> {
  const { place, calibration } = await openScan(library, measuring, ink, scan, signal);
  const { widthPx, heightPx } = place.info;
  const task = { task: 'propose' as const, ...place, calibration, boxPx: [0, 0, widthPx, heightPx] as const };
  return await measuring.strips((runner) => runner.propose(task, signal));
}

/** @throws JobError 'not-measured', 'no-such-region' */
export async function dyesOverRegion(
  library: Library,
  measuring: Measuring,
  ink: number,
  of: string,
  over: string,
  signal?: AbortSignal,
): Promise<DyesAnswer> {
  const [own, other] = [await lastMeasured(library, ink, of), await lastMeasured(library, ink, over)];
  const strip = own?.result.strip;
  if (!strip) throw notMeasured(of);
  if (!other) throw notMeasured(over);
  const sameCalibration = calibrationKeyOf(library, ink, own.scan) === calibrationKeyOf(library, ink, other.scan);
  const about = { of, over, dyes: strip.bands.map(answerDye), sameCalibration };
  if (other.result.strip) {
    const { law, profile } = other.result.strip;
    const task = { task: 'dyes-along' as const, dyes: addingDyesOf(strip), law, profile };
    const found = await measuring.strips((runner) => runner.dyesAlong(task, signal));
    return { ...about, ...alongAnswer(other.result.strip, strip.bands.length, found) };
  }
  const { marks, edge } = other.result;
  if (!marks) throw new JobError('not-measured', `“${over}” holds no ink that was measured; choose writing or a swab.`);
  const { place, calibration } = await openScan(library, measuring, ink, other.scan, signal);
  const haloMm = edge?.halo?.toMm ?? null;
  const task = {
    task: 'dyes-over' as const,
    ...place,
    calibration,
    boxPx: other.boxPx,
    ...(sameCalibration
      ? { dyes: dyesOf(strip), toldBy: strip.law === 'layer' ? ('layer' as const) : ('channels' as const) }
      : { dyes: dyesByColour(strip), toldBy: 'colours' as const }),
    marks: marks.data,
    haloMm,
  };
  const { over: found } = await measuring.strips((runner) => runner.dyesOver(task, signal));
  if (found === null) {
    throw new JobError('no-paper', `No bare paper lies beside the ink of “${over}”; draw its box a little larger.`);
  }
  return { ...about, ...overAnswer(found), haloMm };
}

function alongAnswer(
  { profile, travel, originMm, frontMm }: StripMeasure,
  dyes: number,
  { along }: DyesAlongResult,
): Omit<DyesAlong, About> {
  const byDye = (values: (at: DyesAlongResult['along'][number]) => readonly number[]): number[][] =>
    Array.from({ length: dyes }, (_, j) => along.map((at) => rounded(values(at)[j])));
  return {
    is: 'strip',
    travel,
    originMm,
    frontMm,
    placesMm: [...profile.positionMm],
    amounts: byDye(({ amounts }) => amounts),
    u: byDye(({ u }) => u),
    misfit: along.map(({ misfit }) => rounded(misfit)),
  };
}

function overAnswer({ zones, map }: NonNullable<DyesOverResult['over']>): Omit<DyesOver, About | 'haloMm'> {
  const { columns, rows, mmPerCell, amounts } = map;
  return {
    is: 'writing',
    zones,
    map: {
      columns,
      rows,
      mmPerCell,
      dyes: amounts.map((cells) => {
        const most = cells.reduce((a, b) => Math.max(a, b), 1e-6);
        const bytes = Uint8Array.from(cells, (v) => Math.round((255 * v) / most));
        return { most: rounded(most), cells: Buffer.from(bytes).toString('base64') };
      }),
    },
  };
}

function answerDye({ number, colour, rF }: Band): AnswerDye {
  return { band: number, lab: colour, rF: rF?.value ?? null };
}

/** Plots need no more digits, and answers hold thousands of numbers. */
function rounded(value: number): number {
  return Math.round(1e5 * value) / 1e5;
}

function stripRegion(library: Library, ink: number, id: string): StripRegion {
  const region = library.document(ink).regions.find((r) => r.id === id);
  if (region?.kind === 'strip') return region;
  throw new JobError('no-such-region', `This ink has no strip “${id}” (any more); choose one of its strips.`);
}

/** As measuring takes it: two ends that are given decide the way, and `travel` only the axis. */
function travelOf({ travel = 'up', originMm, frontMm }: StripRegion): 'up' | 'down' | 'left' | 'right' {
  if (originMm === undefined || frontMm === undefined) return travel;
  if (travel === 'left' || travel === 'right') return frontMm < originMm ? 'left' : 'right';
  return frontMm < originMm ? 'up' : 'down';
}

async function openScan(library: Library, measuring: Measuring, ink: number, scan: string, signal?: AbortSignal) {
  const found = standingOf(library, ink).scans.get(scan);
  if (!found) throw new JobError('no-such-scan', `No scan “${scan}” belongs to this ink; it may have been removed.`);
  const { file, dpi, problem } = found;
  if (!file?.info || dpi === null) throw new JobError('scan-gone', problem ?? `Scan “${scan}” cannot be read.`);
  const made = await measuring.calibrate(ink, scan, signal);
  if (made && 'problem' in made) throw new JobError(made.code, made.problem);
  const { info } = file;
  const calibration = made?.calibration ?? (await uncalibratedBy(info)).calibration;
  return { place: { info, dpi }, calibration };
}

function calibrationKeyOf(library: Library, ink: number, scan: string): string | null {
  return standingOf(library, ink).scans.get(scan)?.target?.key ?? null;
}

function boxInPx(
  [x, y, width, height]: readonly [number, number, number, number],
  { info, dpi }: { readonly info: { readonly widthPx: number; readonly heightPx: number }; readonly dpi: number },
): readonly [number, number, number, number] {
  const k = dpi / 25.4;
  const [left, top] = [Math.max(0, Math.round(x * k)), Math.max(0, Math.round(y * k))];
  const right = Math.min(info.widthPx, Math.round((x + width) * k));
  const bottom = Math.min(info.heightPx, Math.round((y + height) * k));
  return [left, top, Math.max(1, right - left), Math.max(1, bottom - top)];
}

function notMeasured(region: string): JobError {
  return new JobError('not-measured', `“${region}”: not measured as it is now. Measure, then look again.`);
}
