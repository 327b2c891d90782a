/** A report of six patches in two rows, with every figure chosen by hand. 254 dpi: 10 pixels a millimetre. */
import type { Calibration, PatchResult, TargetLayout, ToneCurve } from '../../analysis/calibrate/calibration.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { type CalibrationReportInput, calibrationReport } from '../../electron/findings/calibrationReport.ts';
import type { EarlierCalibration } from '../../electron/findings/driftReport.ts';
import type { CalibrationReport } from '../../electron/findings/reportShape.ts';

const device = [0, 0.25, 0.5, 0.75, 1];
const straight: ToneCurve = { device, linear: device, exponent: 1, flare: 0 };

export const layout: TargetLayout = {
  format: 'wetline-target/1',
  name: 'six patches',
  pointsMm: [
    [0, 0],
    [30, 0],
    [30, 20],
    [0, 20],
  ],
  patches: [1, 2, 3, 4, 5, 6].map((i) => ({
    id: `P${i}`,
    boxMm: [10 * ((i - 1) % 3), i <= 3 ? 0 : 10, 10, 10] as const,
    grey: i <= 4,
  })),
};

const DEVICES = [
  [0.9, 0.9, 0.9],
  [0.6, 0.6, 0.6],
  [0.4, 0.4, 0.4],
  [0.2, 0.2, 0.2],
  [0.8, 0.2, 0.2],
  [0.2, 0.3, 0.8],
] as const;

export const patches: readonly PatchResult[] = DEVICES.map((rgb, i) => ({
  id: `P${i + 1}`,
  reference: labD50(90 - 10 * i, i >= 4 ? 20 : 0, 0),
  fitted: labD50(90 - 10 * i, i >= 4 ? 21 : 0.5, -0.25),
  leftOut: labD50(91 - 10 * i, i >= 4 ? 22 : 0.5, -0.5),
  dE00Fitted: 0.1 * (i + 1),
  dE00LeftOut: 0.2 * (i + 1),
  device: rgb,
  sd: [0.001, 0.002, 0.003],
  clippedShare: 0,
  flags: [],
}));

export const calibration: Calibration = {
  judgement: 'good',
  model: 'linear',
  ridge: 0,
  curves: [straight, straight, straight],
  matrix: [
    [0.52, 0.31, 0.134],
    [0.27, 0.68, 0.05],
    [0.02, 0.09, 0.715],
  ],
  flatField: null,
  patches,
  leftOutMedian: 0.7,
  leftOutMean: 0.7,
  leftOut95: 1.15,
  leftOutMax: 1.2,
  greyMaxChroma: 0.56,
  candidates: [
    { model: 'rootPolynomial2', ridge: 1e-3, leftOutMean: 0.66, standardError: 0.06 },
    { model: 'linear', ridge: 0, leftOutMean: 0.7, standardError: 0.07 },
  ],
  colorants: { kind: 'cannot-tell', by: 'nothing' },
  noise: null,
  cautions: [],
  signals: [],
};

export const input: CalibrationReportInput = {
  calibration,
  pointsPx: [
    [100, 50],
    [400, 50],
    [400, 250],
    [100, 250],
  ],
  located: { by: 'fiducials', score: 0.97, words: 'by its four discs' },
  scannerBlurMm: 0.03,
  target: {
    info: {
      file: 'target.tif',
      widthPx: 500,
      heightPx: 300,
      bits: 16,
      channels: 3,
      dpi: 254,
      icc: null,
      iccHash: null,
      format: 'tiff',
      pages: 1,
      orientation: 1,
      notes: [],
    },
    dpi: 254,
    layout,
    reference: { patches: new Map() },
  },
  scanner: { make: 'Tern Works', model: 'Flat 12', software: 'Slow Scan 3.1' },
  scannedAt: '2026-09-01T08:00:00',
  earlier: [],
  given: false,
};

export const earlier: EarlierCalibration = {
  name: 'may.tif',
  at: '2026-05-03T10:15:00',
  map: calibration,
  scanner: input.scanner,
  kind: { bits: 16, format: 'tiff', icc: null, iccHash: null },
  layoutName: layout.name,
};

export function reportWith(
  change: Partial<CalibrationReportInput>,
  made: Partial<Calibration> = {},
): CalibrationReport {
  return calibrationReport({ ...input, ...change, calibration: { ...calibration, ...made } });
}

/** The map of a scanner that was so much darker then, per channel. */
export function mapBefore(gains: readonly [number, number, number]): EarlierCalibration['map'] {
  const [r, g, b] = gains.map((gain) => ({ ...straight, linear: device.map((v) => gain * v) }));
  return { ...calibration, curves: [r, g, b] };
}
