/** Words beside the writing that are not its ink: printed black, or pencilled grey and grainy. */
import { type Hand, writeLine } from '../../sample-scans/generator/hand.ts';
import type { InkField } from '../../sample-scans/generator/inkField.ts';
import { stream } from '../../sample-scans/generator/random.ts';
import type { Scanner } from '../../sample-scans/generator/scanner.ts';
import { drawLattice, latticeAt } from '../../sample-scans/generator/smoothNoise.ts';
import { curve, type Curve } from '../../sample-scans/generator/spectra.ts';
import { toSignal } from '../../sample-scans/generator/scanner.ts';
import { dab } from './flecks.ts';
import type { PageKind } from './kinds.ts';
import type { Stain } from './paintLayers.ts';

/** Printed letters stand upright and alike. */
const PRESS: Hand = { slant: 0, wobbleMm: 0, sizeSd: 0, driftMm: 0, widthFactor: 1.05 };
const PENCIL: Hand = { slant: 0.05, wobbleMm: 0.06, sizeSd: 0.04, driftMm: 0.2, widthFactor: 1.05 };

export function drawLabel(
  seed: number,
  kind: NonNullable<PageKind['label']>,
  field: InkField,
  scanner: Scanner,
  paper: Curve,
): Stain {
  const random = stream(seed, `page-kind/label/${kind}`);
  const printed = kind === 'printed';
  const [widthMm, heightMm] = [field.widthPx, field.heightPx].map((px) => (px * field.factor) / field.finePerMm);
  const place = { xMm: widthMm - 23, baselineMm: heightMm - random.range(3, 4.5), xHeightMm: random.range(1.3, 1.8) };
  const passes = writeLine(
    random.pick(['paper no. 4', 'nib M, wet', 'sheet 12 b']),
    place,
    printed ? PRESS : PENCIL,
    random,
  );
  const half = printed ? random.range(0.09, 0.14) : random.range(0.12, 0.22);
  const grain = drawLattice(random, { leftMm: 0, topMm: 0, widthMm, heightMm }, 0.11);
  const cells = new Float32Array(field.dose.length);
  for (const pass of passes) {
    for (let i = 0; i + 1 < pass.x.length; i++) {
      const steps = Math.ceil(Math.hypot(pass.x[i + 1] - pass.x[i], pass.y[i + 1] - pass.y[i]) * field.finePerMm);
      for (let k = 0; k < steps; k++) {
        const x = pass.x[i] + ((pass.x[i + 1] - pass.x[i]) * k) / steps;
        const y = pass.y[i] + ((pass.y[i + 1] - pass.y[i]) * k) / steps;
        dab(cells, field, x, y, half, printed ? 1 : 0.85);
      }
    }
  }
  // Graphite stays on the paper's hills.
  if (!printed) {
    const w = field.widthPx * field.factor;
    for (let i = 0; i < cells.length; i++) {
      if (cells[i] === 0) continue;
      const rough = latticeAt(grain, ((i % w) + 0.5) / field.finePerMm, (Math.floor(i / w) + 0.5) / field.finePerMm);
      cells[i] *= Math.min(1, Math.max(0.1, 0.75 + 0.35 * rough));
    }
  }
  const level = printed ? random.range(0.04, 0.12) : random.range(0.35, 0.6);
  const seen = toSignal(
    scanner,
    curve(() => level).map((v, i) => v * paper[i]),
  );
  const bare = toSignal(scanner, paper);
  return { cells, ratio: [seen[0] / bare[0], seen[1] / bare[1], seen[2] / bare[2]] };
}
