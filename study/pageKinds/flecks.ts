/** Recycled paper's flecks: fibres and specks of other colours, paler than writing. */
import { stream } from '../../sample-scans/generator/random.ts';
import { type Scanner, toSignal } from '../../sample-scans/generator/scanner.ts';
import { curve, type Curve, skewedBell } from '../../sample-scans/generator/spectra.ts';
import type { InkField } from '../../sample-scans/generator/inkField.ts';
import type { Stain } from './paintLayers.ts';

const COLOURS: readonly ((nm: number) => number)[] = [
  () => 1,
  (nm) => 0.4 + skewedBell(nm, 430, 80, 0),
  (nm) => 0.2 + skewedBell(nm, 610, 60, 0.2),
  (nm) => 0.2 + skewedBell(nm, 520, 50, 0.2),
];

export function drawFlecks(seed: number, field: InkField, scanner: Scanner, paper: Curve): Stain[] {
  const random = stream(seed, 'page-kind/flecks');
  const bare = toSignal(scanner, paper);
  const mm = [field.widthPx * field.factor, field.heightPx * field.factor].map((n) => n / field.finePerMm);
  return COLOURS.map((colour) => {
    const depth = random.range(0.12, 0.4);
    const seen = toSignal(
      scanner,
      curve((nm) => Math.exp(Math.log(1 - depth) * Math.min(1, colour(nm)))).map((t, i) => t * paper[i]),
    );
    const cells = new Float32Array(field.dose.length);
    const count = Math.round(mm[0] * mm[1] * random.range(0.004, 0.012));
    for (let k = 0; k < count; k++) {
      const long = random.uniform() < 0.6;
      const length = long ? random.range(0.3, 1.6) : random.range(0, 0.1);
      const half = long ? random.range(0.015, 0.04) : random.range(0.03, 0.11);
      layFleck(
        cells,
        field,
        [random.range(0, mm[0]), random.range(0, mm[1])],
        random.range(0, 6.28),
        random.range(-1, 1),
        length,
        half,
      );
    }
    return { cells, ratio: [seen[0] / bare[0], seen[1] / bare[1], seen[2] / bare[2]] };
  });
}

/** A bent line of one width. */
function layFleck(
  cells: Float32Array,
  field: InkField,
  at: readonly [number, number],
  heading: number,
  bend: number,
  lengthMm: number,
  halfMm: number,
): void {
  const step = 0.5 / field.finePerMm;
  let [x, y] = at;
  let a = heading;
  for (let s = 0; s <= lengthMm; s += step) {
    dab(cells, field, x, y, halfMm);
    x += step * Math.cos(a);
    y += step * Math.sin(a);
    a += bend * step;
  }
}

/** Covers the cells of a disc; at its edge in part. Place in mm of the layers' own grid. */
export function dab(cells: Float32Array, field: InkField, xMm: number, yMm: number, halfMm: number, share = 1): void {
  const w = field.widthPx * field.factor;
  const h = field.heightPx * field.factor;
  const [cx, cy, half] = [xMm * field.finePerMm, yMm * field.finePerMm, halfMm * field.finePerMm];
  for (let y = Math.max(0, Math.floor(cy - half - 1)); y <= Math.min(h - 1, cy + half + 1); y++) {
    for (let x = Math.max(0, Math.floor(cx - half - 1)); x <= Math.min(w - 1, cx + half + 1); x++) {
      const inside = half - Math.hypot(x + 0.5 - cx, y + 0.5 - cy) + 0.5;
      if (inside > 0) cells[y * w + x] = Math.max(cells[y * w + x], share * Math.min(1, inside));
    }
  }
}
