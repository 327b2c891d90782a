/** Typed-array images. Row-major, interleaved, origin top left, y downwards. */

/** Device values exactly as scanned: nothing linearised, nothing converted. Red of (x, y) is data[3 * (y * widthPx + x)]. */
export interface DeviceRaster {
  /** length 3 * widthPx * heightPx; full scale is 255 or 65535 by `bits`. */
  readonly data: Uint8Array | Uint16Array;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bits: 8 | 16;
  readonly dpi: number;
  /** Where this raster's top-left pixel lies in its scan. */
  readonly originPx: readonly [x: number, y: number];
}

/** Linear light, three channels; 1 is about a perfect white. Values above 1 and below 0 are kept, not clipped. */
export interface LinearRaster {
  /** length 3 * widthPx * heightPx */
  readonly data: Float32Array;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly dpi: number;
  /** Where this raster's top-left pixel lies in its scan. */
  readonly originPx: readonly [x: number, y: number];
  /** 1 where a channel stood at an end of the device scale. */
  readonly clipped: Uint8Array;
}

/** 1 inside, 0 outside. */
export interface Mask {
  readonly data: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
}
