/**
 * A picture of writing as it would be on another ground, pixel by pixel, from the colours that the ink has on both grounds dose by dose.
 *
 * A pixel is ink of some dose that covers some share of it; the rest is bare paper. Light adds up within a pixel, so that its colour lies
 * between paper and ink on a straight line in XYZ. Many pairs of dose and share have the pixel's luminance; those that have its hue, too, count, and
 * what they become on the other ground the pixel becomes. What it differs by is texture and noise, which go along as ratios.
 */
import { labD50, labToXyz } from '../../colour/lab.ts';
import type { LabValue } from '../../quantity.ts';

/** One ink on two grounds, step by step from bare paper to its densest, paler ones first; both lists in step. */
export interface DoseSteps {
  readonly from: readonly LabValue[];
  readonly to: readonly LabValue[];
}

export interface OtherGroundOptions {
  /** Pixels that differ by so much from all that the ink can be there begin to be kept as they are, … @default 0.3 */
  readonly strangerFrom?: number;
  /** … and are wholly kept from here on: sheen, a stain, another ink, print. Shares of the ink's light. @default 0.5 */
  readonly strangerTo?: number;
}
/** Edges of drawn writing under noise stay below the first, sheen and other inks lie beyond the second (tests/measure/otherGround.test.ts). */
export const OTHER_GROUND_DEFAULTS = { strangerFrom: 0.3, strangerTo: 0.5 } satisfies Required<OtherGroundOptions>;

/** Light that is not told from none, share of the perfect diffuser: a dark pixel's noise is no hue. Common practice, no source. */
const FLOOR = 0.03;
/** Squared difference of hue below which two pairs count alike, so that noise never chooses between them. Tried on drawn writing, 0.0001 to 0.001. */
const ALIKE = 0.001;

/**
 * @returns changes interleaved XYZ (D50, Y = 1 for the perfect diffuser) in place.
 * @throws RangeError when the two lists are not in step or hold no ink.
 */
export function onOtherGround(steps: DoseSteps, options: OtherGroundOptions = {}): (xyz: Float32Array) => void {
  const { strangerFrom, strangerTo } = { ...OTHER_GROUND_DEFAULTS, ...options };
  const from = flat(steps.from);
  const to = flat(steps.to);
  const count = steps.from.length;
  if (count < 2 || steps.to.length !== count) {
    throw new RangeError(`${count} and ${steps.to.length} steps; expected as many on either ground, two or more.`);
  }
  const last = 3 * (count - 1);
  return (xyz) => {
    for (let i = 0; i + 2 < xyz.length; i += 3) {
      const x = xyz[i];
      const y = xyz[i + 1];
      const z = xyz[i + 2];
      // Sums of weight × (colour there over colour here).
      let rx = 0;
      let ry = 0;
      let rz = 0;
      let weight = 0;
      let least = Infinity;
      let a = 3;
      while (a < last && from[a + 1] > y) a += 3;
      // First whole cover, between the first step that is dark enough and the one before; then a share of this and of every denser one.
      for (let b = a - 3; a <= last; b = 0) {
        const share = shareOf(y, from[b + 1], from[a + 1]);
        const ax = from[b] + share * (from[a] - from[b]);
        const ay = from[b + 1] + share * (from[a + 1] - from[b + 1]);
        const az = from[b + 2] + share * (from[a + 2] - from[b + 2]);
        const dx = (x - ax) / (ax + FLOOR);
        const dy = (y - ay) / (ay + FLOOR);
        const dz = (z - az) / (az + FLOOR);
        const away = dx * dx + dy * dy + dz * dz;
        const w = 1 / ((away + ALIKE) * (away + ALIKE));
        if (away < least) least = away;
        weight += w;
        rx += (w * (to[b] + share * (to[a] - to[b]))) / ax;
        ry += (w * (to[b + 1] + share * (to[a + 1] - to[b + 1]))) / ay;
        rz += (w * (to[b + 2] + share * (to[a + 2] - to[b + 2]))) / az;
        if (b === 0) a += 3;
      }
      const stranger = (Math.sqrt(least) - strangerFrom) / (strangerTo - strangerFrom);
      if (stranger >= 1) continue;
      const kept = stranger > 0 ? stranger : 0;
      const changed = (1 - kept) / weight;
      xyz[i] = x * (kept + changed * rx);
      xyz[i + 1] = y * (kept + changed * ry);
      xyz[i + 2] = z * (kept + changed * rz);
    }
  };
}

function shareOf(y: number, pale: number, dark: number): number {
  const share = pale > dark ? (pale - y) / (pale - dark) : 1;
  return share < 0 ? 0 : share > 1 ? 1 : share;
}

/** No ink reflects less than a little (common practice, no source): ratios to it stay finite. */
const LEAST = 1e-4;

function flat(labs: readonly LabValue[]): Float64Array {
  return Float64Array.from(labs.flatMap((lab) => labToXyz(labD50(...lab)).map((v) => Math.max(LEAST, v))));
}
