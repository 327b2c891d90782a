/** The bench that is committed. */
import type { BenchOptions } from './options.ts';

export const SAMPLE_SEED = 17;
export const SAMPLE_OPTIONS: BenchOptions = {};
