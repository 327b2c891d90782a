/** A device's colours known on a grid, and by tetrahedra between: for ICC profiles that are tables. */
import { labToXyz, labD50 } from './lab.ts';

export interface DeviceGrid {
  /** Nodes along each axis. */
  readonly nodes: number;
  /** Where each 16-bit device value lies among the nodes, 0..nodes − 1, rising. */
  readonly axis: Float32Array;
  /** L*, a*, b* of node (r, g, b) at 3 · ((r · nodes + g) · nodes + b). */
  readonly lab: Float32Array;
}

/**
 * Nodes spaced evenly in lightness along the neutral axis, so that a linear device, whose dark half of colours lies in
 * its lowest fifth of values, is known as well there as elsewhere.
 * @param neutralL L* of equal device values from 0 to 65535 in equal steps, dark to light
 */
export function evenAxis(neutralL: ArrayLike<number>, nodes: number): Float32Array {
  const last = neutralL.length - 1;
  const rising = new Float64Array(neutralL.length);
  for (let i = 1; i <= last; i++) {
    // Never quite flat: what is one lightness may still be many colours.
    rising[i] = rising[i - 1] + Math.max(0, neutralL[i] - neutralL[i - 1]) + 20 / last;
  }
  return Float32Array.from({ length: 65536 }, (_, v) => {
    const at = (v / 65535) * last;
    const i = Math.min(last - 1, Math.floor(at));
    return ((nodes - 1) * (rising[i] + (at - i) * (rising[i + 1] - rising[i]))) / rising[last];
  });
}

/** The device value of each node of an axis, rounded: what is to be asked of the profile. */
export function nodeValues(axis: Float32Array, nodes: number): Uint16Array {
  const values = new Uint16Array(nodes);
  for (let n = 1, v = 0; n < nodes; n++) {
    while (v < 65535 && axis[v + 1] <= n) v++;
    const upper = Math.min(65535, v + 1);
    values[n] = Math.abs(axis[upper] - n) < Math.abs(axis[v] - n) ? upper : v;
  }
  values[nodes - 1] = 65535;
  return values;
}

/** Device values → interleaved XYZ (D50, Y = 1 for the perfect diffuser). */
export function gridToXyz(data: Uint8Array | Uint16Array, grid: DeviceGrid, out: Float32Array): void {
  const { nodes, axis, lab } = grid;
  const wide = data instanceof Uint8Array ? 257 : 1;
  const [dr, dg, db] = [3 * nodes * nodes, 3 * nodes, 3];
  const top = nodes - 2;
  for (let i = 0; i + 2 < data.length; i += 3) {
    const r = axis[data[i] * wide];
    const g = axis[data[i + 1] * wide];
    const b = axis[data[i + 2] * wide];
    const r0 = Math.min(top, r | 0);
    const g0 = Math.min(top, g | 0);
    const b0 = Math.min(top, b | 0);
    const fr = r - r0;
    const fg = g - g0;
    const fb = b - b0;
    const origin = r0 * dr + g0 * dg + b0 * db;
    // From the near corner of the cell to the far one along its edges, the largest share first.
    let near = dr;
    let middle = dr + dg;
    let [f1, f2, f3] = [fr, fg, fb];
    if (fr >= fg) {
      if (fg < fb) {
        if (fr >= fb) [middle, f2, f3] = [dr + db, fb, fg];
        else [near, middle, f1, f2, f3] = [db, dr + db, fb, fr, fg];
      }
    } else if (fr >= fb) [near, f1, f2] = [dg, fg, fr];
    else if (fg >= fb) [near, middle, f1, f2, f3] = [dg, dg + db, fg, fb, fr];
    else [near, middle, f1, f2, f3] = [db, dg + db, fb, fg, fr];
    const far = origin + dr + dg + db;
    const [w0, w1, w2] = [1 - f1, f1 - f2, f2 - f3];
    const L = w0 * lab[origin] + w1 * lab[origin + near] + w2 * lab[origin + middle] + f3 * lab[far];
    const A = w0 * lab[origin + 1] + w1 * lab[origin + near + 1] + w2 * lab[origin + middle + 1] + f3 * lab[far + 1];
    const B = w0 * lab[origin + 2] + w1 * lab[origin + near + 2] + w2 * lab[origin + middle + 2] + f3 * lab[far + 2];
    const xyz = labToXyz(labD50(L, A, B));
    out[i] = xyz[0];
    out[i + 1] = xyz[1];
    out[i + 2] = xyz[2];
  }
}
