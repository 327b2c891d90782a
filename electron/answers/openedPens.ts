/** The pens of an ink with what is known of their layers, worked out once for each state of its findings. */
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { type LeftOut, leftOutOf, type PenLayer, penLayer } from '../../analysis/measure/opacity/pen.ts';
import { median } from '../../analysis/quantile.ts';
import { type MeasuredInks, type NamedPen, pensOf } from '../jobs/opacityFindings.ts';
import type { Library } from '../library/library.ts';
import { KeptWhileTrue } from './keptWhileTrue.ts';
import { measuredInks } from './measuredInks.ts';

export interface OpenedPen {
  readonly pen: NamedPen;
  readonly known: PenLayer;
  readonly leftOut: readonly LeftOut[];
  /** Median ΔE00 of `leftOut`; null: none. */
  readonly error: number | null;
}

export interface PensOfInk {
  readonly measured: MeasuredInks;
  readonly pens: readonly NamedPen[];
  readonly opened: (pen: NamedPen) => OpenedPen;
}

const kept = new KeptWhileTrue<PensOfInk>(4);

/** All that its pens hang on but the shelf's papers, each the same as long as it has not changed. */
export function pensToldOf(library: Library, ink: number): readonly unknown[] {
  return [library, library.revision(ink), library.findings(ink)];
}

export async function pensOfInk(library: Library, ink: number): Promise<PensOfInk> {
  const toldOf = pensToldOf(library, ink);
  return kept.get(String(ink), toldOf) ?? kept.keep(String(ink), toldOf, opening(await measuredInks(library, ink)));
}

function opening(measured: MeasuredInks): PensOfInk {
  const known = new Map<NamedPen, OpenedPen>();
  const opened = (pen: NamedPen): OpenedPen => {
    const one = known.get(pen) ?? openedPen(pen, measured);
    known.set(pen, one);
    return one;
  };
  return { measured, pens: pensOf(measured), opened };
}

function openedPen(pen: NamedPen, { fits }: MeasuredInks): OpenedPen {
  const leftOut = leftOutOf(pen, fits);
  return {
    pen,
    known: penLayer(pen, fits),
    leftOut,
    error: leftOut.length === 0 ? null : median(leftOut.map(errorOf)),
  };
}

/** ΔE00 between what a pen's other samples foretell and what was measured. */
export function errorOf({ sample, foretold }: LeftOut): number {
  return deltaE2000(sample.lab, foretold.lab);
}
