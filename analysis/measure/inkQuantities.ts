/** The quantities of one region's ink from its colours and what they may be off by, whichever way the colours were told. */
import { type LabD50, chroma, hueDeg } from '../colour/lab.ts';
import { spokenName } from '../colour/spokenName.ts';
import type { Flag, LabValue, Quantity, Subject } from '../quantity.ts';
import type { ShadingStatistic } from './shading.ts';
import { combine, combineLab } from './uncertainty.ts';
import { SHADING_LIMITS, verdict } from './verdict.ts';

export interface ToldInk {
  readonly lab: LabD50;
  /** Y of the ink and of its paper, 1 for the perfect diffuser. */
  readonly luminance: number;
  readonly paperLuminance: number;
  readonly repeatability: LabValue;
  /** The light's level included; `calibrationL` is L* without it, since density is told against the same light. */
  readonly calibration: LabValue;
  readonly calibrationL: number;
  readonly placement: LabValue;
  readonly subject: Subject;
  readonly flags: readonly Flag[];
  readonly methods: { readonly inkColour: string; readonly inkDensity: string };
}

/** `inkColour` with name, hue and chroma, and `inkDensity`. */
export function colourQuantities(told: ToldInk): Quantity[] {
  const { lab, repeatability, calibration, calibrationL, placement, subject, flags, methods } = told;
  const { u, uParts } = combineLab(repeatability, calibration, placement);
  const method = methods.inkColour;
  const C = chroma(lab);
  // Along and across the hue direction: first-order propagation of the components.
  const along = Math.hypot(lab[1] * u[1], lab[2] * u[2]) / Math.max(C, 1e-6);
  const across = Math.hypot(lab[2] * u[1], lab[1] * u[2]) / Math.max(C, 1e-6);
  const hueTells = C > 2 * across;
  const density = Math.log10(told.paperLuminance / Math.max(1e-4, told.luminance));
  // dD = dL* · 3 / (ln 10 · (L* + 16)): the cube root turned round; the paper's own level cancels.
  const perL = 3 / (Math.LN10 * (lab[0] + 16));
  const densityU = combine(perL * repeatability[0], perL * calibrationL, perL * placement[0]);
  return [
    {
      quantity: 'inkColour',
      subject,
      value: [lab[0], lab[1], lab[2]],
      unit: 'Lab',
      u,
      uParts,
      verdict: spokenName(lab, u),
      flags,
      method,
    },
    {
      quantity: 'inkColour.hue',
      subject,
      value: hueTells ? hueDeg(lab) : null,
      unit: '°',
      u: hueTells ? (across / C) * (180 / Math.PI) : null,
      flags: hueTells ? flags : [...flags, 'cannot-tell'],
      method,
    },
    {
      quantity: 'inkColour.chroma',
      subject,
      value: C,
      unit: '1',
      u: C > 1e-6 ? along : Math.hypot(u[1], u[2]),
      flags,
      method,
    },
    { quantity: 'inkDensity', subject, value: density, unit: '1', ...densityU, flags, method: methods.inkDensity },
  ];
}

/** Half a radian: there 2u across reaches as far as the chroma itself, as where inkColour.hue is given up. */
const MOST_HUE_U_DEG = 0.5 * (180 / Math.PI);

export interface ToldSpread extends Pick<ShadingStatistic, 'dE00' | 'dL' | 'dHueDeg' | 'uRepeat'> {
  readonly name: 'shading' | 'swabVariation';
  readonly calibration: { readonly dE00: number; readonly dL: number; readonly dHueDeg: number };
  readonly placement: { readonly dE00: number; readonly dL: number };
  readonly subject: Subject;
  readonly flags: readonly Flag[];
  readonly method: string;
}

/** The step between dark and light with its parts: ΔE00, ΔL*, and of strokes the turn of hue, null where chroma or u leave none. */
export function spreadQuantities(told: ToldSpread): Quantity[] {
  const { name, dE00, dL, dHueDeg, uRepeat, calibration, placement, subject, flags, method } = told;
  const uE = combine(uRepeat.dE00, calibration.dE00, placement.dE00);
  const out: Quantity[] = [
    {
      quantity: name,
      subject,
      value: dE00,
      unit: 'ΔE00',
      ...uE,
      verdict: verdict(dE00, uE.u, SHADING_LIMITS),
      limits: SHADING_LIMITS,
      flags,
      method,
    },
    {
      quantity: `${name}.dL`,
      subject,
      value: dL,
      unit: 'ΔL*',
      ...combine(uRepeat.dL, calibration.dL, placement.dL),
      flags,
      method,
    },
  ];
  if (name === 'shading') {
    const u = Math.hypot(uRepeat.dHueDeg, calibration.dHueDeg);
    const isTold = dHueDeg !== null && u < MOST_HUE_U_DEG;
    out.push({
      quantity: 'shading.dHue',
      subject,
      value: isTold ? dHueDeg : null,
      unit: '°',
      u: isTold ? u : null,
      flags: isTold ? flags : [...flags, 'cannot-tell'],
      method,
    });
  }
  return out;
}

/** A level of light that is off by a share moves L*, a* and b* together as scaling XYZ does. */
export function withLight(u: LabValue, lab: LabD50, light: number): LabValue {
  return [
    Math.hypot(u[0], ((lab[0] + 16) / 3) * light),
    Math.hypot(u[1], (lab[1] / 3) * light),
    Math.hypot(u[2], (lab[2] / 3) * light),
  ];
}
