/** What is used of lcms-wasm, which carries no types. */
declare module 'lcms-wasm' {
  export interface Lcms {
    /** 0: not a profile. */
    cmsOpenProfileFromMem(bytes: Uint8Array, length: number): number;
    cmsCloseProfile(profile: number): void;
    cmsCreateLab4Profile(white: null): number;
    /** 'RGB', 'GRAY', 'CMYK', …; null: none that it knows. */
    cmsGetColorSpaceASCII(profile: number): string | null;
    /** 0: the profile has no way to the other. */
    cmsCreateTransform(
      from: number,
      fromFormat: number,
      to: number,
      toFormat: number,
      intent: number,
      flags: number,
    ): number;
    cmsDeleteTransform(transform: number): void;
    cmsDoTransform(transform: number, values: Uint16Array, pixels: number): Float32Array;
  }
  export function instantiate(): Promise<Lcms>;
  export const TYPE_RGB_16: number;
  export const INTENT_RELATIVE_COLORIMETRIC: number;
  export const cmsFLAGS_NOCACHE: number;
  export const cmsFLAGS_NOOPTIMIZE: number;
}
