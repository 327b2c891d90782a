import type { StripMeasure } from '../../analysis/measure/strip/measureStrip.ts';

const empty = new Float64Array(0);

/** Of a strip of which nothing could be told. */
export const noProfile: StripMeasure['profile'] = {
  positionMm: empty,
  absorbance: [empty, empty, empty],
  fitted: [empty, empty, empty],
  noise: [0, 0, 0],
  lab: [],
};
