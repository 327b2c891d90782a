/**
 * An embedded ICC profile at work: device values → XYZ (D50). Little CMS is asked once a profile, for curves and a matrix where the
 * profile is no more than that, else for a grid of colours; pixels then go through our own loops, ten times as fast.
 * Relative colorimetric: the profile's white is white. For looking only: measurements never use a profile.
 */
import {
  cmsFLAGS_NOCACHE,
  cmsFLAGS_NOOPTIMIZE,
  instantiate,
  INTENT_RELATIVE_COLORIMETRIC,
  type Lcms,
  TYPE_RGB_16,
} from 'lcms-wasm';
import { compileCalibration, type CompiledCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { type DeviceGrid, evenAxis, nodeValues } from '../../analysis/colour/deviceGrid.ts';
import { labD50, labToXyz, type Xyz } from '../../analysis/colour/lab.ts';
import { triple } from '../../analysis/triple.ts';

/** Device values as scanned, 16 bits, → L*, a*, b*; interleaved triples. */
export type ProfileLab = (rgb: Uint16Array) => Float32Array;

export type ProfileColours =
  | { readonly by: 'matrix'; readonly compiled: CompiledCalibration }
  | { readonly by: 'grid'; readonly grid: DeviceGrid };

/** A node each 1024 device values: tables in profiles are no finer. */
const NODES = 65;
/** Float L*, a*, b*: lcms-wasm has no name for it. COLORSPACE_SH(PT_Lab) | FLOAT_SH(1) | CHANNELS_SH(3) | BYTES_SH(4). */
const LAB_FLOAT = (1 << 22) | (10 << 16) | (3 << 3) | 4;
/** Pixels handed over at once: the library takes memory for all of them and never gives it back. */
const CHUNK = 16384;
/** What the sum of three channels may miss of XYZ (Y = 1 for white) and still be a matrix: float rounding. */
const ADDITIVE = 2e-4;

let library: Promise<Lcms> | null = null;

/** Calls `work` with the profile's own transform. null: it is no RGB profile, or damaged. */
export async function withProfile<T>(icc: Uint8Array, work: (lab: ProfileLab) => T): Promise<T | null> {
  library ??= instantiate();
  const lcms = await library;
  const profile = lcms.cmsOpenProfileFromMem(icc, icc.length);
  if (profile === 0) return null;
  const lab = lcms.cmsCreateLab4Profile(null);
  try {
    if (lcms.cmsGetColorSpaceASCII(profile) !== 'RGB') return null;
    const flags = cmsFLAGS_NOCACHE | cmsFLAGS_NOOPTIMIZE;
    const intent = INTENT_RELATIVE_COLORIMETRIC;
    const transform = lcms.cmsCreateTransform(profile, TYPE_RGB_16, lab, LAB_FLOAT, intent, flags);
    if (transform === 0) return null;
    try {
      return work((rgb) => inChunks(rgb, (part) => lcms.cmsDoTransform(transform, part, part.length / 3)));
    } finally {
      lcms.cmsDeleteTransform(transform);
    }
  } finally {
    lcms.cmsCloseProfile(lab);
    lcms.cmsCloseProfile(profile);
  }
}

/** null: the profile cannot be used; the values are then as good as sRGB. */
export async function profileColours(icc: Uint8Array): Promise<ProfileColours | null> {
  return withProfile(icc, (lab) => matrixOf(lab) ?? { by: 'grid', grid: gridOf(lab) });
}

/** Curves and a matrix, when that is all the profile is: the channels' colours then add up. */
function matrixOf(lab: ProfileLab): ProfileColours | null {
  if (!addsUp(lab)) return null;
  const columns: Xyz[] = [];
  const tables16: Float32Array[] = [];
  for (const channel of [0, 1, 2]) {
    const ramp = new Uint16Array(3 * 65536);
    for (let v = 0; v < 65536; v++) ramp[3 * v + channel] = v;
    const found = lab(ramp);
    const column = xyzAt(found, 65535);
    const norm = column[0] ** 2 + column[1] ** 2 + column[2] ** 2;
    columns.push(column);
    tables16.push(
      Float32Array.from({ length: 65536 }, (_, v) => {
        const xyz = xyzAt(found, v);
        return (xyz[0] * column[0] + xyz[1] * column[1] + xyz[2] * column[2]) / norm;
      }),
    );
  }
  const matrix = [0, 1, 2].map((row) => columns.map((column) => column[row]));
  const [r, g, b] = tables16;
  const tables8 = [r, g, b].map((table) => Float32Array.from({ length: 256 }, (_, v) => table[257 * v]));
  const compiled = compileCalibration({ ...nominalCalibration, model: 'linear', matrix });
  return {
    by: 'matrix',
    compiled: { ...compiled, tables16: [r, g, b], tables8: [tables8[0], tables8[1], tables8[2]] },
  };
}

/** Over a coarse grid, is every colour the sum of its channels' own? */
function addsUp(lab: ProfileLab): boolean {
  const steps = [0, 9000, 21000, 40000, 65535];
  const n = steps.length;
  const rgb = Uint16Array.from(steps.flatMap((r) => steps.flatMap((g) => steps.flatMap((b) => [r, g, b]))));
  const found = lab(rgb);
  const at = (r: number, g: number, b: number): Xyz => xyzAt(found, (r * n + g) * n + b);
  if (Math.max(...at(0, 0, 0).map(Math.abs)) > ADDITIVE) return false;
  for (let r = 0; r < n; r++) {
    for (let g = 0; g < n; g++) {
      for (let b = 0; b < n; b++) {
        const whole = at(r, g, b);
        const parts = [at(r, 0, 0), at(0, g, 0), at(0, 0, b)];
        const gap = triple((k) => Math.abs(whole[k] - parts[0][k] - parts[1][k] - parts[2][k]));
        if (Math.max(...gap) > ADDITIVE) return false;
      }
    }
  }
  return true;
}

function gridOf(lab: ProfileLab): DeviceGrid {
  const steps = 1024;
  const greys = Uint16Array.from({ length: 3 * (steps + 1) }, (_, i) =>
    Math.round((Math.floor(i / 3) / steps) * 65535),
  );
  const found = lab(greys);
  const axis = evenAxis(
    Float64Array.from({ length: steps + 1 }, (_, i) => found[3 * i]),
    NODES,
  );
  const at = nodeValues(axis, NODES);
  const rgb = new Uint16Array(3 * NODES ** 3);
  for (let r = 0, i = 0; r < NODES; r++) {
    for (let g = 0; g < NODES; g++) for (let b = 0; b < NODES; b++, i += 3) rgb.set([at[r], at[g], at[b]], i);
  }
  return { nodes: NODES, axis, lab: lab(rgb) };
}

function xyzAt(lab: Float32Array, pixel: number): Xyz {
  return labToXyz(labD50(lab[3 * pixel], lab[3 * pixel + 1], lab[3 * pixel + 2]));
}

function inChunks(rgb: Uint16Array, convert: (part: Uint16Array) => Float32Array): Float32Array {
  const out = new Float32Array(rgb.length);
  for (let from = 0; from < rgb.length; from += 3 * CHUNK) {
    out.set(convert(rgb.subarray(from, from + 3 * CHUNK)), from);
  }
  return out;
}
