/** The truth cut into one file beside each scan, and one for what spans them. */
import type { Bench } from './bench.ts';

export function truthFiles(bench: Bench): Record<string, unknown> {
  const { truth } = bench;
  const { format } = truth;
  const files: Record<string, unknown> = {};
  if (truth.target) files['target.truth.json'] = { format, ...truth.target };
  for (const [scan, page] of Object.entries(truth.pages)) files[`${scan}.truth.json`] = { format, ...page };
  for (const strip of Object.values(truth.strips)) files[`${strip.scan}.truth.json`] = { format, ...strip };
  files['bench.truth.json'] = {
    format,
    seed: truth.seed,
    ink: truth.ink,
    scanner: truth.scanner,
    nibShading: truth.nibShading,
    toneShift: truth.toneShift,
  };
  return files;
}
