/** A grey picture for finding things: 0 dark, 1 light, in whatever coding the scan has. */
import type { DeviceRaster } from '../raster/raster.ts';

export interface GreyRaster {
  /** length widthPx * heightPx */
  readonly grey: Float32Array;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly dpi: number;
  /** Of a part of a larger picture: where its top-left pixel lies in the whole. Absent: it is the whole. */
  readonly originPx?: readonly [x: number, y: number];
}

/** Mean of the three channels, 0..1. */
export function greyOf({ data, bits, widthPx, heightPx, dpi, originPx }: DeviceRaster): GreyRaster {
  const grey = new Float32Array(widthPx * heightPx);
  const scale = 1 / (3 * (bits === 8 ? 255 : 65535));
  for (let i = 0; i < grey.length; i++) grey[i] = (data[3 * i] + data[3 * i + 1] + data[3 * i + 2]) * scale;
  return { grey, widthPx, heightPx, dpi, originPx };
}

/** Value at a place of the whole picture (pixel centres at integer + 0.5), bilinear; held at the rim. */
export function greyAt(scan: GreyRaster, xPx: number, yPx: number): number {
  const { grey, widthPx, heightPx, originPx } = scan;
  const x = Math.min(widthPx - 1, Math.max(0, xPx - 0.5 - (originPx?.[0] ?? 0)));
  const y = Math.min(heightPx - 1, Math.max(0, yPx - 0.5 - (originPx?.[1] ?? 0)));
  const left = Math.min(widthPx - 2, Math.floor(x));
  const top = Math.min(heightPx - 2, Math.floor(y));
  const i = top * widthPx + left;
  const u = x - left;
  const v = y - top;
  return (
    (1 - v) * ((1 - u) * grey[i] + u * grey[i + 1]) + v * ((1 - u) * grey[i + widthPx] + u * grey[i + widthPx + 1])
  );
}
