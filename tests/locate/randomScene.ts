/** Scenes by seed: a target somewhere on a bed, turned, beside and on other things, before some scanner. Made for these tests. */
import type { BoxMm, PointMm } from '../../analysis/calibrate/calibration.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { type Clutter, drawScene, drawTarget, type DrawnTarget } from '../calibrate/drawTarget.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { knownTarget, oddDevice, type TargetName } from './knownTargets.ts';

export type SceneCase = 'plain' | 'cluttered' | 'covered' | 'mirrored' | 'two' | 'none';

export interface Scene {
  readonly target: TargetName;
  readonly kind: SceneCase;
  readonly scan: DeviceRaster;
  /** null: there is no target. */
  readonly drawn: DrawnTarget | null;
  readonly scale: number;
  readonly words: string;
}

/** Sizes against the layouts' mm in which targets are made. */
const SIZES: Record<TargetName, readonly [least: number, most: number]> = {
  card: [0.985, 1.015],
  'iso12641-1': [0.4, 1.05],
  'chart-4x6': [0.22, 0.75],
};

export function randomScene(target: TargetName, kind: SceneCase, seed: number): Scene {
  const random = seededRandom(seed * 2654435761 + kind.length * 97 + target.length);
  const between = (from: number, to: number): number => from + (to - from) * random();
  const { layout, known } = knownTarget(target);
  const two = kind === 'two';
  const scale =
    two && target !== 'card' ? between(SIZES[target][0], 0.6 * SIZES[target][1]) : between(...SIZES[target]);
  const dpi = [150, 150, 150, 200, 300][Math.floor(5 * random())];
  const xs = layout.patches.flatMap(({ boxMm }) => [boxMm[0], boxMm[0] + boxMm[2]]);
  const ys = layout.patches.flatMap(({ boxMm }) => [boxMm[1], boxMm[1] + boxMm[3]]);
  const [w, h] = [Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)];
  const reach = (scale * Math.hypot(w + 14, h + 14)) / 2 + 2;
  const turnDeg = random() < 0.3 ? 90 * Math.floor(4 * random()) + between(-1, 1) : between(0, 360);
  const size: PointMm = two
    ? [2 * reach + 4, 4 * reach + 4]
    : [Math.max(150, 2 * reach), Math.max(180, 2 * reach + 20)];
  const centre: PointMm = two
    ? [reach + 2, reach + 1]
    : [between(reach, size[0] - reach), between(reach, size[1] - reach)];
  const dark = random() < 0.4;
  const common = {
    dpi,
    turnDeg,
    mirrored: kind === 'mirrored',
    scale,
    stretch: 1 + between(-0.006, 0.006),
    perspective: random() < 0.5 ? 0 : between(0, 0.008),
    bed: dark ? between(0.03, 0.2) : between(0.85, 0.99),
    card: target === 'chart-4x6' ? between(0.05, 0.3) : target === 'card' ? between(0.85, 0.97) : between(0.4, 0.97),
    marginMm: between(2, 6),
    disc: between(0.08, 0.35),
    blurPx: between(0.4, 1.6),
    noise: between(0, 0.02),
    gradient: random() < 0.5 ? 0 : between(0, 0.12),
    bits: random() < 0.5 ? (8 as const) : (16 as const),
    seed,
    beside: kind === 'plain' ? [] : clutter(size, random),
  };
  const words = `${target} ${kind} seed ${seed}: ${dpi} dpi, ${turnDeg.toFixed(0)}°, × ${scale.toFixed(2)}`;
  if (kind === 'none') return { target, kind, drawn: null, scan: drawScene(size, common), scale, words };
  const drawn = drawTarget(layout, oddDevice(known, seed), {
    ...common,
    sizeMm: size,
    centreMm: centre,
    moreAtMm: two ? [[reach + 2, 3 * reach + 3]] : [],
    ...(kind === 'covered' && covering(target, [w, h], random)),
  });
  return { target, kind, drawn, scan: drawn, scale, words };
}

/** A strip over an outer row or column of a grid; a disc of the card taken away or half covered, and now and then patches. */
function covering(
  target: TargetName,
  [w, h]: PointMm,
  random: () => number,
): { readonly covered: { readonly boxMm: BoxMm; readonly colour: number }[]; readonly discs?: readonly number[] } {
  const colour = 0.2 + 0.7 * random();
  if (target === 'card') {
    const hidden = Math.floor(4 * random());
    const [px, py] = knownTarget('card').layout.pointsMm[hidden];
    const over: { boxMm: BoxMm; colour: number }[] =
      random() < 0.5 ? [{ boxMm: [px - 5 + 4 * random(), py - 5, 10, 9], colour }] : [];
    if (random() < 0.4) over.push({ boxMm: [30 + 80 * random(), -4, 15, 20], colour });
    return over.length > 0 && random() < 0.6
      ? { covered: over }
      : { covered: over, discs: [0, 1, 2, 3].filter((k) => k !== hidden) };
  }
  const [rows, columns, pitch] = target === 'chart-4x6' ? [4, 6, 45.6] : [12, 22, 6.5];
  const side = Math.floor(4 * random());
  const across = side < 2;
  const at = side % 2 === 0 ? 0 : (across ? rows : columns) - 1;
  const boxMm: BoxMm = across ? [-3, at * pitch - 1, w + 6, pitch] : [at * pitch - 1, -3, pitch, h + 6];
  return { covered: [{ boxMm, colour }] };
}

function clutter(size: PointMm, random: () => number): Clutter[] {
  const kinds = ['page', 'ruled', 'squared', 'paper', 'coins', 'dark', 'swatches', 'page'] as const;
  return Array.from({ length: 1 + Math.floor(4 * random()) }, (): Clutter => {
    const kind = kinds[Math.floor(kinds.length * random())];
    const w = size[0] * (0.35 + 0.6 * random());
    const h = size[1] * (0.25 + 0.5 * random());
    const turnDeg = random() < 0.5 ? 3 * (random() - 0.5) : 360 * random();
    return { kind, turnDeg, boxMm: [(size[0] - w) * random(), (size[1] - h) * random(), w, h] };
  });
}
