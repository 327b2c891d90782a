/** An edge's breadth from place to place, on profiles across it that are as broad as they are said to be. */
import { expect, test } from 'vitest';
import { type ClearEdge, unevenBreadthPx } from '../../analysis/measure/edge/unevenBreadth.ts';

const PX_PER_MM = 20;
const STATIONS = 400;
const SAMPLES = 81;
const STEP_PX = 0.25;
/** Two places that differ by so much differ as two of this standard deviation do in the median. */
const sdOf = (difference: number) => difference / 0.6745 / Math.SQRT2;

/** @param breadthPx of the fall from 80 to 20 %, per station */
function edgeOf(breadthPx: (station: number) => number, slope = 0.25): ClearEdge {
  const last = SAMPLES >> 1;
  const data = Float32Array.from({ length: STATIONS * SAMPLES }, (_, i) => {
    const [station, k] = [Math.floor(i / SAMPLES), Math.abs((i % SAMPLES) - last)];
    const fallPx = breadthPx(station) / 0.6;
    return Math.min(1, Math.max(0, 0.5 - (k * STEP_PX - 5) / fallPx));
  });
  const along = (value: number) => new Float64Array(STATIONS).fill(value);
  const ones = new Uint8Array(STATIONS).fill(1);
  return {
    stroke: { line: { stepPx: 1 }, profiles: { data, samples: SAMPLES, stepPx: STEP_PX }, inner: ones },
    cores: { ground: 0, peak: along(1) },
    side: { side: 1, core: along(1), slope: along(slope) },
    clear: ones,
  };
}

const broadFor = (stations: number) => (i: number) => (i % (2 * stations) < stations ? 3.4 : 3);

test('places a fifth of a millimetre apart are compared', () => {
  // Four stations of a px at 20 px a mm.
  expect(unevenBreadthPx([edgeOf(broadFor(4))], 0, PX_PER_MM)).toBeCloseTo(sdOf(0.4), 2);
  expect(unevenBreadthPx([edgeOf(broadFor(2))], 0, PX_PER_MM)).toBeCloseTo(0, 2);
  expect(unevenBreadthPx([edgeOf(broadFor(40))], 0, PX_PER_MM)).toBeCloseTo(0, 2);
});

test('the noise’s part comes off: it moves either end by itself over the slope there, seven tenths of the middle’s', () => {
  const [noise, slope] = [0.02, 0.25];
  const edge = edgeOf(broadFor(4), slope);
  const byNoise = Math.SQRT2 * (noise / (0.7 * slope));
  expect(unevenBreadthPx([edge], noise, PX_PER_MM)).toBeCloseTo(Math.sqrt(sdOf(0.4) ** 2 - byNoise ** 2), 2);
  expect(unevenBreadthPx([edge], 10 * noise, PX_PER_MM)).toBe(0);
});

test('it is not told of less than sixty pairs of clear places', () => {
  const few = { ...edgeOf(broadFor(4)), clear: Uint8Array.from({ length: STATIONS }, (_, i) => (i < 63 ? 1 : 0)) };
  expect(unevenBreadthPx([few], 0, PX_PER_MM)).toBeNull();
  const enough = { ...few, clear: Uint8Array.from({ length: STATIONS }, (_, i) => (i < 64 ? 1 : 0)) };
  expect(unevenBreadthPx([enough], 0, PX_PER_MM)).toBeCloseTo(sdOf(0.4), 2);
});
