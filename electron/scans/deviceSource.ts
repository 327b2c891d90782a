/** Where device values are read from, a box at a time. */

/** Left, top, width, height in pixels of the stored image. */
export type BoxPx = readonly [x: number, y: number, width: number, height: number];

export type DeviceValues = Uint8Array | Uint16Array;

/** A raster that lies somewhere, at one scale. Boxes are whole pixels inside it. */
export interface DeviceSource {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bits: 8 | 16;
  /** Rows that are best read at once: few for what can be reached anywhere, many where each read begins at the top. */
  readonly bandRows: number;
  /**
   * Interleaved triples.
   * @param spare What an earlier call gave and nobody needs any more; it may be filled anew, which saves the system from finding fresh memory.
   */
  read(boxPx: BoxPx, spare?: DeviceValues): DeviceValues | Promise<DeviceValues>;
}
