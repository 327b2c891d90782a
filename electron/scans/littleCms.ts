/** Embedded ICC profiles through Little CMS: what a profile that is a table says of device values. Relative colorimetric: its white is white. */
import type { Lcms } from 'lcms-wasm';
import type { DeviceToLab } from '../../analysis/calibrate/tableFit.ts';

/** Float L*, a*, b*: lcms-wasm has no name for it. COLORSPACE_SH(PT_Lab) | FLOAT_SH(1) | CHANNELS_SH(3) | BYTES_SH(4). */
const LAB_FLOAT = (1 << 22) | (10 << 16) | (3 << 3) | 4;
/** Pixels handed over at once: the library takes memory for all of them and never gives it back. */
const CHUNK = 16384;

type Library = typeof import('lcms-wasm') & { readonly lcms: Lcms };

let library: Promise<Library> | null = null;

/** Loaded when the first table is met: most scans carry none. */
async function load(): Promise<Library> {
  const module = await import('lcms-wasm');
  return { ...module, lcms: await module.instantiate() };
}

/** Calls `work` with the profile's own transform. null: it is no RGB profile, or damaged. */
export async function withProfile<T>(icc: Uint8Array, work: (toLab: DeviceToLab) => T): Promise<T | null> {
  library ??= load();
  const { lcms, ...named } = await library;
  const profile = lcms.cmsOpenProfileFromMem(icc, icc.length);
  if (profile === 0) return null;
  const lab = lcms.cmsCreateLab4Profile(null);
  try {
    if (lcms.cmsGetColorSpaceASCII(profile) !== 'RGB') return null;
    const flags = named.cmsFLAGS_NOCACHE | named.cmsFLAGS_NOOPTIMIZE;
    const intent = named.INTENT_RELATIVE_COLORIMETRIC;
    const transform = lcms.cmsCreateTransform(profile, named.TYPE_RGB_16, lab, LAB_FLOAT, intent, flags);
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

function inChunks(rgb: Uint16Array, convert: (part: Uint16Array) => Float32Array): Float32Array {
  const out = new Float32Array(rgb.length);
  for (let from = 0; from < rgb.length; from += 3 * CHUNK) {
    out.set(convert(rgb.subarray(from, from + 3 * CHUNK)), from);
  }
  return out;
}
