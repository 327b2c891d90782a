/** From a calibration, and earlier ones of the same scanner, to its report card. Pure: the same in, the same out. */
import type { Calibration, FlatField, PatchResult, PointMm } from '../../analysis/calibrate/calibration.ts';
import { lightAt } from '../../analysis/calibrate/flatField.ts';
import { median, quantile } from '../../analysis/quantile.ts';
import { homography, mapBox } from '../../analysis/raster/homography.ts';
import type { CalibrateResult, LocatedBy } from '../jobs/tasks.ts';
import type { ScannerIdentity } from '../scans/scannerIdentity.ts';
import type { LoadedTarget } from '../sheet/loadedSheet.ts';
import {
  blurSentence,
  clippingSentence,
  colorantsSentence,
  EDGE_WIDTH,
  judgementSentence,
  lightSentence,
  locatedSentence,
  modelSentence,
  noiseSentence,
  patchNotes,
  PLAIN_PX,
  referenceSentence,
  scannerSentence,
} from './calibrationWords.ts';
import { driftReport, type EarlierCalibration } from './driftReport.ts';
import type { CalibrationReport, ReportLight, ReportPatch } from './reportShape.ts';

export interface CalibrationReportInput extends Pick<CalibrateResult, 'calibration' | 'pointsPx' | 'scannerBlurMm'> {
  /** Null: made by an earlier version, which did not keep it. */
  readonly located: LocatedBy | null;
  readonly target: Pick<LoadedTarget, 'info' | 'dpi' | 'layout' | 'reference' | 'white'>;
  readonly scanner: ScannerIdentity | null;
  readonly scannedAt: string | null;
  readonly earlier: readonly EarlierCalibration[];
  /** Whether a person named the earlier ones, whatever their scanner. */
  readonly given: boolean;
}

export function calibrationReport(input: CalibrationReportInput): CalibrationReport {
  const { calibration, pointsPx, located, scannerBlurMm, target, scanner, scannedAt } = input;
  const { model, ridge, curves, matrix, flatField } = calibration;
  const { widthPx, heightPx, bits, format, icc, iccHash } = target.info;
  const { layout, reference, dpi } = target;
  const patches = patchesOf(input);
  const used = patches.filter(isUsed);
  const fitted = used.map((p) => p.dE00Fitted);
  const chosen = calibration.candidates.find((c) => c.model === model && c.ridge === ridge);
  const candidates = calibration.candidates.map((c) => ({ ...c, chosen: c === chosen }));
  const clipped = patches.filter((p) => p.flags.includes('clipped')).map((p) => p.id);
  const largestClippedShare = Math.max(0, ...patches.map((p) => p.clippedShare));
  const narrowestLineMm = narrowestLine(scannerBlurMm, dpi);
  const light = lightOf(flatField, target);
  const referenceU = referenceUOf(patches);
  const statistics = (q: number): number | null => (fitted.length === 0 ? null : quantile(fitted, q));
  return {
    format: 'wetline-calibration/1',
    judgement: calibration.judgement,
    model,
    leftOutMedian: calibration.leftOutMedian,
    leftOutMean: calibration.leftOutMean,
    leftOut95: calibration.leftOut95,
    leftOutMax: calibration.leftOutMax,
    fittedMedian: statistics(0.5),
    fittedMean: fitted.length === 0 ? null : fitted.reduce((sum, dE) => sum + dE, 0) / fitted.length,
    fitted95: statistics(0.95),
    fittedMax: statistics(1),
    greyMaxChroma: calibration.greyMaxChroma,
    words: judgementSentence(calibration),
    cautions: calibration.cautions,
    candidates,
    modelWords: modelSentence(candidates, model),
    target: {
      layout: layout.name,
      pointsPx,
      located,
      locatedWords: locatedSentence(located),
      colorants: calibration.colorants,
      colorantsWords: colorantsSentence(calibration.colorants),
      referenceU,
      referenceWords: referenceSentence(referenceU),
      notes: reference.notes ?? [],
    },
    scan: { widthPx, heightPx, bits, format, icc, iccHash, dpi, scannedAt },
    scanner: {
      identity: scanner,
      words: scannerSentence(scanner),
      noise: calibration.noise,
      noiseWords: noiseSentence(calibration.noise),
      blurMm: scannerBlurMm,
      narrowestLineMm,
      blurWords: blurSentence(scannerBlurMm, narrowestLineMm, dpi),
      clippedPatches: clipped.length,
      largestClippedShare,
      clippingWords: clippingSentence(clipped, largestClippedShare),
    },
    light,
    lightWords: lightSentence(light),
    drift: driftReport(
      { scanner, kind: { bits, format, icc, iccHash }, layoutName: layout.name, map: { model, curves, matrix } },
      used.map((p) => ({ device: p.device, light: lightOn(flatField, middleMm(p, dpi)) })),
      input.earlier,
      input.given,
    ),
    patches,
    map: { model, curves, matrix, flatField },
  };
}

function isUsed({ flags }: Pick<PatchResult, 'flags'>): boolean {
  return !flags.includes('clipped') && !flags.includes('covered');
}

/** A grey by its reference, where the layout names too few (as fit.ts). */
const NEAR_NEUTRAL = 5;
const FEWEST_GREYS = 4;

function patchesOf({ calibration, pointsPx, target }: CalibrationReportInput): ReportPatch[] {
  const { layout, reference } = target;
  const toPx = homography(layout.pointsMm, pointsPx);
  const byId = new Map(calibration.patches.map((p) => [p.id, p]));
  const named = layout.patches.filter(({ id, grey }) => grey === true && byId.has(id)).length >= FEWEST_GREYS;
  return layout.patches.flatMap(({ id, grey = false, boxMm }): ReportPatch[] => {
    const patch = byId.get(id);
    if (!patch) return [];
    const [, a, b] = patch.reference;
    const u = reference.patches.get(id)?.u;
    return [
      {
        ...patch,
        reference: patch.reference,
        fitted: patch.fitted,
        leftOut: patch.leftOut,
        grey: grey || (!named && Math.hypot(a, b) < NEAR_NEUTRAL),
        referenceU: u ?? null,
        notes: patchNotes(patch),
        cornersPx: mapBox(toPx, boxMm),
      },
    ];
  });
}

/** ΔE*ab: components taken together. */
function referenceUOf(patches: readonly ReportPatch[]): { median: number; largest: number } | null {
  const known = patches.flatMap(({ referenceU }) => (referenceU ? [Math.hypot(...referenceU)] : []));
  return known.length === 0 ? null : { median: median(known), largest: Math.max(...known) };
}

/** Either edge reaches as far as its blur, and a line of few pixels has no middle. */
function narrowestLine(blurMm: number | null, dpi: number): number | null {
  return blurMm === null ? null : Math.max(2 * EDGE_WIDTH * blurMm, (PLAIN_PX * 25.4) / dpi);
}

function middleMm({ cornersPx }: Pick<ReportPatch, 'cornersPx'>, dpi: number): PointMm {
  const mean = (axis: 0 | 1): number => cornersPx.reduce((sum, p) => sum + p[axis], 0) / cornersPx.length;
  return [(mean(0) * 25.4) / dpi, (mean(1) * 25.4) / dpi];
}

function lightOn(field: FlatField | null, placeMm: PointMm): [number, number, number] {
  return field === null
    ? [1, 1, 1]
    : [lightAt(field, 0, placeMm), lightAt(field, 1, placeMm), lightAt(field, 2, placeMm)];
}

const GRID = { columns: 7, rows: 5 } as const;

function lightOf(
  field: Calibration['flatField'],
  { info, dpi, white }: Pick<LoadedTarget, 'info' | 'dpi' | 'white'>,
): ReportLight | null {
  if (field === null) return null;
  const [widthMm, heightMm] = [(info.widthPx * 25.4) / dpi, (info.heightPx * 25.4) / dpi];
  const places = Array.from({ length: GRID.rows }, (_, row) =>
    Array.from({ length: GRID.columns }, (_, column): PointMm => [
      (widthMm * column) / (GRID.columns - 1),
      (heightMm * row) / (GRID.rows - 1),
    ]),
  ).flat();
  const channel = (c: number) => {
    const values = places.map((place) => lightAt(field, c, place));
    const [low, high] = [Math.min(...values), Math.max(...values)];
    const middle = (low + high) / 2;
    return { range: (100 * (high - low)) / middle, percent: values.map((v) => 100 * (v / middle - 1)) };
  };
  const [r, g, b] = [channel(0), channel(1), channel(2)];
  return {
    from: white ? 'white-sheet' : 'target',
    rangePercent: [r.range, g.range, b.range],
    residualPercent: 100 * field.residual,
    grid: { ...GRID, percent: [r.percent, g.percent, b.percent] },
  };
}
