/** One drawn world measured: every quantity of its edges beside the truth. */
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { inkInRatio } from '../../analysis/locate/inkMask.ts';
import { strokeInterior } from '../../analysis/locate/strokeInterior.ts';
import { type EdgeMeasure, measureEdges } from '../../analysis/measure/edge/measureEdges.ts';
import type { Quantity, QuantityName } from '../../analysis/quantity.ts';
import type { StrokeDrawing } from './drawStrokes.ts';
import { type EdgeKind, type EdgeWorld, edgeWorld, inputOf } from './worlds.ts';

export interface EdgeRow {
  readonly seed: number;
  readonly dpi: number;
  readonly kind: EdgeKind;
  readonly quantity: QuantityName | 'halo colour';
  /** Null where the world's truth is that there is nothing, and the measure says so. */
  readonly value: number | null;
  readonly truth: number;
  /** Of what these drawings try: see `uOf`. */
  readonly u: number | null;
}

/**
 * Without the part that the target's curves and the scan's scale add, since drawings are read without a target; of `edgeBlur` the whole, since the scanner's blur
 * that they are told is off by as much as a card may be.
 */
export function uOf({ quantity, u, uParts }: Quantity): number | null {
  if (typeof u !== 'number') return null;
  const [repeat, placement] = [uParts?.repeatability, uParts?.placement];
  const isWhole = quantity === 'edgeBlur' || typeof repeat !== 'number' || typeof placement !== 'number';
  return isWhole ? u : Math.hypot(repeat, placement);
}

export function edgeRows(seed: number, dpi: number, kind?: EdgeKind): EdgeRow[] {
  const world = edgeWorld(seed, dpi, kind);
  return rowsOf(world, measureWorld(world));
}

export function measureWorld(world: EdgeWorld): EdgeMeasure {
  return measureDrawing(world.drawing, world.truth.nibMm);
}

export function measureDrawing(drawing: StrokeDrawing, nibWidthMm: number | null): EdgeMeasure {
  const input = { ...inputOf(drawing), nibWidthMm };
  const { dpi, paper, seed } = drawing;
  const ratio = input.signal.data.map((v, i) => v / paper[i % 3]);
  const ink = inkInRatio(ratio, input.signal, input.paper!.pixelNoise);
  if (!ink) throw new Error(`No ink was found in the drawing of seed ${seed}.`);
  const inside = strokeInterior(ink, dpi, (input.scannerBlurMm! * dpi) / 25.4);
  return measureEdges(ink, inside, input, []);
}

function rowsOf(world: EdgeWorld, measure: EdgeMeasure): EdgeRow[] {
  const { seed, dpi, kind, truth } = world;
  const row = (quantity: QuantityName, true_: number): EdgeRow => {
    const found = measure.quantities.find((q) => q.quantity === quantity);
    const value = typeof found?.value === 'number' ? found.value : null;
    return { seed, dpi, kind, quantity, value, truth: true_, u: found ? uOf(found) : null };
  };
  const rows = [
    row('lineWidth', truth.lineWidth),
    row('lineWidth.sd', truth.sd),
    row('spread', (100 * truth.lineWidth) / truth.nibMm - 100),
    row('raggedness', truth.raggedness),
    row('feathering', truth.feathering),
    row('feathering.hairs', truth.hairsPerCm),
    row('edgeBlur', truth.edgeBlur),
    row('halo', truth.halo),
  ];
  if (truth.haloLab) {
    rows.push(row('halo.dE', truth.haloDE));
    const seen = measure.detail?.halo?.lab;
    const error = seen ? deltaE2000(labD50(...seen), truth.haloLab) : null;
    rows.push({ ...row('halo.dE', 0), quantity: 'halo colour', value: error, truth: 0, u: null });
  }
  return rows;
}
