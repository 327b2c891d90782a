/** CIELAB rasters on their way to the window: whole numbers, a hundredth of a unit each. */
export const LAB_RASTER_SCALE = 100;
