/** Patches that a person should look at: those that the calibration, fitted without them, told worst. */
import type { TargetView } from '../../electron/backend/api.ts';

type Patch = TargetView['patches'][number];

/** ΔE00; below this a patch is not worth a look even when it is the worst. */
const WORTH_A_LOOK = 2;
const MOST = 3;

export function worstPatches(patches: readonly Patch[]): readonly Patch[] {
  return patches
    .filter(({ dE00LeftOut }) => dE00LeftOut >= WORTH_A_LOOK)
    .toSorted((p, q) => q.dE00LeftOut - p.dE00LeftOut)
    .slice(0, MOST);
}
