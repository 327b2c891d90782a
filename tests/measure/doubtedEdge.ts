/** An edge's figures made up, so that each part of the doubt of what they become is known by hand (docs/measures.md, "Lines and edges"). */
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import type { Across, RingFit, RingReading } from '../../analysis/measure/edge/across.ts';
import { type EdgeFigures, edgeQuantities } from '../../analysis/measure/edge/edgeQuantities.ts';
import type { EdgeSetting } from '../../analysis/measure/edge/edgeQuantity.ts';
import type { Feathering, Raggedness } from '../../analysis/measure/edge/excursions.ts';
import type { WidthFigures } from '../../analysis/measure/edge/widths.ts';
import type { Quantity, QuantityName } from '../../analysis/quantity.ts';

/** 10 px a mm. */
export const PX_PER_MM = 10;
export const calibration = compileCalibration(nominalCalibration);
export const paper = [0.86, 0.85, 0.82] as const;
export const setting: EdgeSetting = {
  input: {
    id: 'r',
    signal: {
      data: new Float32Array(0),
      widthPx: 0,
      heightPx: 0,
      dpi: 254,
      originPx: [0, 0],
      clipped: new Uint8Array(0),
    },
    calibration,
    paper: null,
    bare: barePaperOf(paper, calibration),
    scannerBlurMm: 0.06,
    scanFlags: [],
  },
  subject: { regions: ['r'] },
  nibWidthMm: 0.5,
  pxPerMm: PX_PER_MM,
  scannerSigmaPx: 0.6,
  flags: [],
};

/** A line of 0.8 mm, which repeats exactly. */
export const WIDTH: WidthFigures = { mean: 8, sd: 0.5, repeatMean: 0, repeatSd: 0, lengthPx: 2000 };
export const ROUGH: Raggedness = { px: 0.3, repeat: 0, scannedPx: 0.2, edgeNoise: 0, unseen: { long: 0, short: 0 } };
export const SMOOTH: Raggedness = { px: 0, repeat: 0, scannedPx: 0, edgeNoise: 0, unseen: { long: 0, short: 0 } };
/** Ten hairs on ten centimetres of edge. */
const ALONE = { times: 1, repeat: 0, taken: 0 };
export const HAIRY: Feathering = {
  lengthPx: 2,
  repeat: 0,
  hairs: 10,
  found: 10,
  aside: 0,
  asideBeyond: 0,
  short: 0,
  beside: ALONE,
  edgePx: 1000,
};
export const BARE: Feathering = { ...HAIRY, lengthPx: 0, hairs: 0, found: 0 };
const none = new Float64Array(0);
export const ACROSS: Across = {
  profile: {
    atPx: none,
    stepPx: 0.5,
    channels: [none, none, none],
    contrast: none,
    counts: none,
    groups: [],
    all: { sums: [none, none, none, none], counts: none },
    lineWidthPx: 8,
  },
  data: { at: none, values: [], fitted: [], place: none, lineWidthPx: 8 },
  fit: {
    edgePx: 0,
    sigmaPx: 1,
    ringPx: null,
    ringSigmaPx: 1,
    paper: [1, 1, 1, 0],
    ring: null,
    ink: [0, 0, 0, 1],
    misfit: 0,
  },
  sigmaPx: 1,
  uSigmaPx: 0,
  ground: 0,
  shiftPx: 0,
  ring: null,
};
export const READING: RingReading = { widthPx: 3, ratio: [0.9, 0.8, 0.85] };
export const RING: RingFit = {
  ...READING,
  parts: [READING, READING, READING],
  oneBlur: READING,
  crowded: READING,
  isApart: true,
};

export function told(name: QuantityName, figures: Partial<EdgeFigures> = {}, of: Partial<EdgeSetting> = {}): Quantity {
  const all: EdgeFigures = {
    width: WIDTH,
    at60: null,
    raggedness: SMOOTH,
    feathering: BARE,
    across: ACROSS,
    ...figures,
  };
  const found = edgeQuantities(all, { ...setting, ...of }).find(({ quantity }) => quantity === name);
  if (!found) throw new Error(`${name} is not among the quantities`);
  return found;
}

type Part = 'repeatability' | 'calibration' | 'placement';
export const part = (quantity: Quantity, name: Part): number => Number(quantity.uParts?.[name]);
