/** A small colour picture for finding things: device values as they are coded, block means of the scan. */
import type { DeviceRaster } from '../../raster/raster.ts';
import type { GreyRaster } from '../greyRaster.ts';

export interface ColourRaster {
  /** 0..1, interleaved: red of (x, y) is rgb[3 * (y * widthPx + x)]. */
  readonly rgb: Float32Array;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly dpi: number;
}

export type Rgb = readonly [r: number, g: number, b: number];

/** Puts together the means over blocks of `factor` × `factor` pixels from bands, top to bottom; a last part of a block is dropped. */
export class Shrinker {
  readonly #factor: number;
  readonly #dpi: number;
  readonly #widthPx: number;
  readonly #heightPx: number;
  readonly #rgb: Float32Array;
  #rows = 0;

  constructor(widthPx: number, heightPx: number, dpi: number, factor: number) {
    this.#factor = factor;
    this.#dpi = dpi;
    this.#widthPx = Math.floor(widthPx / factor);
    this.#heightPx = Math.floor(heightPx / factor);
    this.#rgb = new Float32Array(3 * this.#widthPx * this.#heightPx);
  }

  /** @param band Whole rows of the scan, the next ones. */
  take({ data, widthPx, heightPx, bits }: Pick<DeviceRaster, 'data' | 'widthPx' | 'heightPx' | 'bits'>): void {
    const factor = this.#factor;
    const rgb = this.#rgb;
    const share = 1 / (factor * factor * (bits === 8 ? 255 : 65535));
    for (let y = 0; y < heightPx; y++, this.#rows++) {
      const row = Math.floor(this.#rows / factor);
      if (row >= this.#heightPx) continue;
      let from = 3 * y * widthPx;
      let to = 3 * row * this.#widthPx;
      for (let x = 0; x < this.#widthPx; x++, to += 3) {
        let r = 0;
        let g = 0;
        let b = 0;
        for (let k = 0; k < factor; k++, from += 3) {
          r += data[from];
          g += data[from + 1];
          b += data[from + 2];
        }
        rgb[to] += r * share;
        rgb[to + 1] += g * share;
        rgb[to + 2] += b * share;
      }
    }
  }

  done(): ColourRaster {
    return { rgb: this.#rgb, widthPx: this.#widthPx, heightPx: this.#heightPx, dpi: this.#dpi / this.#factor };
  }
}

/** Mean of the three channels. */
export function greyOfColours({ rgb, widthPx, heightPx, dpi }: ColourRaster): GreyRaster {
  const grey = new Float32Array(widthPx * heightPx);
  for (let i = 0; i < grey.length; i++) grey[i] = (rgb[3 * i] + rgb[3 * i + 1] + rgb[3 * i + 2]) / 3;
  return { grey, widthPx, heightPx, dpi };
}
