/** What a scan is read as when no target is known: coded sRGB. Every number made with it is flagged 'uncalibrated'. */
import type { Calibration, ToneCurve } from './calibration.ts';
import { srgbDecode, srgbToXyzD50 } from '../colour/srgb.ts';

const red = srgbToXyzD50(1, 0, 0);
const green = srgbToXyzD50(0, 1, 0);
const blue = srgbToXyzD50(0, 0, 1);

/** Knots crowd near black, where the curve changes from straight to power; between them it errs by less than 1e-5. */
const device = Array.from({ length: 129 }, (_, i) => (i / 128) ** 2);
const curve: ToneCurve = { device, linear: device.map(srgbDecode), exponent: 1, flare: 0 };

export const nominalCalibration: Calibration = {
  judgement: 'none',
  model: 'nominal',
  ridge: 0,
  curves: [curve, curve, curve],
  matrix: [0, 1, 2].map((i) => [red[i], green[i], blue[i]]),
  flatField: null,
  patches: [],
  leftOutMedian: null,
  leftOutMean: null,
  leftOut95: null,
  leftOutMax: null,
  greyMaxChroma: null,
  candidates: [],
  colorants: { kind: 'cannot-tell', by: 'nothing' },
  noise: null,
  cautions: [],
  signals: [],
};
