/** What a calibration's target tells of the scanner's sensitivities: each sound patch as seen, and what is known of its reflectance. */
import type { Calibration, TargetLayout, TargetReference } from '../../calibrate/calibration.ts';
import type { LabD50 } from '../../colour/lab.ts';
import type { Spectrum } from '../../colour/spectrum.ts';
import { onGrid } from '../../film/grid.ts';
import { spectrumFromLab } from '../../film/patchSpectra.ts';
import { estimateSensors, type Sensors } from '../../film/sensors.ts';

export interface TargetPatch {
  /** Linear, in even light. */
  readonly signal: readonly [number, number, number];
  readonly grey: boolean;
  readonly lab: LabD50;
  /** Null: only its Lab is known. */
  readonly reflectance: Spectrum | null;
}

/** Fewer say too little of three curves. */
const FEWEST_PATCHES = 12;

/** Those that the calibration was fitted to, in its order; none without a target. */
export function targetPatches(
  { patches, signals }: Calibration,
  layout: TargetLayout,
  reference: TargetReference,
): TargetPatch[] {
  const greys = new Set(layout.patches.filter(({ grey }) => grey).map(({ id }) => id));
  const kept = patches.filter(({ flags }) => !flags.includes('clipped') && !flags.includes('covered'));
  return kept.map(({ id, reference: lab }, i): TargetPatch => ({
    signal: signals[i],
    grey: greys.has(id),
    lab,
    reflectance: reference.patches.get(id)?.reflectance ?? null,
  }));
}

export interface TaughtSensors {
  readonly sensors: Sensors;
  /** Spectra of all patches, or Lab of some or all: the weaker form. */
  readonly by: 'spectra' | 'lab';
}

/** @param curves that made the signals linear @returns null: too few patches */
export function taughtSensors(patches: readonly TargetPatch[], curves: Calibration['curves']): TaughtSensors | null {
  if (patches.length < FEWEST_PATCHES) return null;
  const sensors = estimateSensors(
    patches.map(({ signal, grey, lab, reflectance }) => ({
      signal,
      grey,
      spectrum: reflectance === null ? spectrumFromLab(lab, grey) : { mean: onGrid(reflectance), doubt: [] },
    })),
    curves,
  );
  return { sensors, by: patches.every(({ reflectance }) => reflectance !== null) ? 'spectra' : 'lab' };
}
