/**
 * Whether a target's scan has its channels in another order than red, green, blue: files that were saved as BGR, software that exchanges two.
 * A fitted map takes any order and is as good, so that nothing else shows it; but the ink's scans may have the right one.
 */
import { labToXyz } from '../colour/lab.ts';
import { srgbEncode, XYZ_D50_TO_RGB } from '../colour/srgb.ts';
import { times } from '../colour/adapt.ts';
import { dot } from '../dot.ts';
import { triple } from '../triple.ts';
import type { PatchReading, TargetReference } from './calibration.ts';

export interface ExchangedChannels {
  /** 'Red and blue are exchanged' */
  readonly words: string;
  /** Correlation of what tells the channels of a patch apart with what the reference says, as scanned and in the order that fits. */
  readonly asScanned: number;
  readonly mended: number;
}

type Order = readonly [number, number, number];

const ORDERS: readonly { readonly order: Order; readonly words: string }[] = [
  { order: [2, 1, 0], words: 'Red and blue are exchanged' },
  { order: [1, 0, 2], words: 'Red and green are exchanged' },
  { order: [0, 2, 1], words: 'Green and blue are exchanged' },
  { order: [1, 2, 0], words: 'Red, green and blue stand as blue, red and green' },
  { order: [2, 0, 1], words: 'Red, green and blue stand as green, blue and red' },
];

/** Simulated scanners (study/calibrationWorlds.ts, seeds 300-419) have 0.85 and more in their own order, and 0.25 and more less in any other. */
const LEAST_AGREEMENT = 0.7;
const LEAST_GAIN = 0.15;
/** Root mean square of a patch's channels about their mean, sRGB 0..1: greys and pastels alone tell no order. */
const LEAST_COLOUR = 0.06;

/** @returns null: in their order, or nothing tells. */
export function exchangedChannels(
  readings: readonly PatchReading[],
  reference: TargetReference,
): ExchangedChannels | null {
  const told = readings.flatMap(({ id, device }) => {
    const patch = reference.patches.get(id);
    return patch ? [{ device, known: encoded(patch.lab) }] : [];
  });
  if (told.length < 3) return null;
  const known = apart(told.map((patch) => patch.known));
  if (Math.sqrt(dot(known, known) / (3 * told.length)) < LEAST_COLOUR) return null;
  const agreement = (order: Order): number => {
    const seen = apart(told.map(({ device }) => triple((c) => device[order[c]])));
    const size = Math.sqrt(dot(seen, seen) * dot(known, known));
    return size === 0 ? 0 : dot(seen, known) / size;
  };
  const asScanned = agreement([0, 1, 2]);
  const [best] = ORDERS.map(({ order, words }) => ({ words, asScanned, mended: agreement(order) })).sort(
    (a, b) => b.mended - a.mended,
  );
  return best.mended >= LEAST_AGREEMENT && best.mended - asScanned >= LEAST_GAIN ? best : null;
}

function encoded(lab: Parameters<typeof labToXyz>[0]): Order {
  const linear = times(XYZ_D50_TO_RGB, labToXyz(lab));
  return triple((c) => srgbEncode(Math.min(1, Math.max(0, linear[c]))));
}

/** Of each patch what its channels differ by from their mean, and of all patches what is left when a cast is taken off. */
function apart(patches: readonly Order[]): Float64Array {
  const n = patches.length;
  const out = new Float64Array(3 * n);
  patches.forEach((patch, i) => {
    const mean = (patch[0] + patch[1] + patch[2]) / 3;
    for (let c = 0; c < 3; c++) out[3 * i + c] = patch[c] - mean;
  });
  for (let c = 0; c < 3; c++) {
    let cast = 0;
    for (let i = 0; i < n; i++) cast += out[3 * i + c] / n;
    for (let i = 0; i < n; i++) out[3 * i + c] -= cast;
  }
  return out;
}
