/** CIELAB rasters on their way to the window: whole numbers, a hundredth of a unit each. */
export const LAB_RASTER_SCALE = 100;

/** L*, a*, b* as floats → whole numbers; beyond ± 327 a colour is held at the end of the scale. */
export function labToRaster(lab: Float32Array, out: Int16Array): void {
  for (let i = 0; i < lab.length; i++) {
    const v = Math.round(lab[i] * LAB_RASTER_SCALE);
    out[i] = v > 32767 ? 32767 : v < -32768 ? -32768 : v;
  }
}
