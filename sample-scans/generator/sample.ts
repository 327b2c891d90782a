/** The bench that is committed. */
import type { BenchOptions } from './options.ts';

export const SAMPLE_SEED = 37;
/** A slow, quiet scanner whose converter resolves 11 bits: noise is what makes a scan's file large. */
export const SAMPLE_OPTIONS: BenchOptions = {
  scannerSeed: 45,
  converterBits: 11,
  noise: 0.35,
  texture: 0.6,
  spectra: true,
};
