/** A part of a scan at a smaller scale straight from its pixels, band by band, when there is no pyramid to read it from. */
import { setImmediate } from 'node:timers/promises';
import { addLight, codeOfLight } from '../../analysis/colour/lightMeans.ts';
import type { BoxPx } from '../scans/readScan.ts';
import type { DeviceSource, DeviceValues } from '../scans/deviceSource.ts';
import { halved } from './levels.ts';

/**
 * A source at a smaller scale: each pixel is the mean of 2^halvings × 2^halvings of the original in linear light, at the right and lower
 * edge of what there is. 16 bits, whatever the original has.
 */
export function averagedDown(source: DeviceSource, halvings: number): DeviceSource {
  if (halvings === 0) return source;
  return {
    widthPx: halved(source.widthPx, halvings),
    heightPx: halved(source.heightPx, halvings),
    bits: 16,
    bandRows: Math.max(1, source.bandRows >> halvings),
    read: (box) => readAveraged(source, halvings, box),
  };
}

async function readAveraged(source: DeviceSource, halvings: number, [left, top, width, height]: BoxPx) {
  const side = 2 ** halvings;
  const out = new Uint16Array(3 * width * height);
  const [x, right] = [left * side, Math.min(source.widthPx, (left + width) * side)];
  const bandRows = Math.max(1, source.bandRows >> halvings);
  const sums = new Float64Array(3 * width);
  let band: DeviceValues | undefined;
  for (let row = 0; row < height; row += bandRows) {
    const rows = Math.min(bandRows, height - row);
    const y = (top + row) * side;
    const bottom = Math.min(source.heightPx, y + rows * side);
    band = await source.read([x, y, right - x, bottom - y], band);
    const lineSamples = 3 * (right - x) * side;
    for (let line = 0; line < rows; line++) {
      const values = band.subarray(line * lineSamples, (line + 1) * lineSamples);
      addLight(values, right - x, halvings, sums);
      const lines = values.length / (3 * (right - x));
      for (let column = 0, o = 3 * (row + line) * width; column < width; column++) {
        const pixels = lines * Math.min(side, right - x - column * side);
        for (let k = 0; k < 3; k++, o++) out[o] = codeOfLight(sums[3 * column + k] / pixels);
      }
      sums.fill(0);
    }
    await setImmediate(); // others may look meanwhile
  }
  return out;
}
