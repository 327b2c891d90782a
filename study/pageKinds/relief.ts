/** A page that does not lie flat: creases that were pressed out, the shadow of a book's spine. Light, so it multiplies ink and paper alike. */
import { type Random, stream } from '../../sample-scans/generator/random.ts';
import type { Band } from '../../sample-scans/generator/scene.ts';
import { drawWander, type Wander, wanderAt } from '../../sample-scans/generator/smoothNoise.ts';
import type { PageKind } from './kinds.ts';

interface Crease {
  readonly at: readonly [xMm: number, yMm: number];
  readonly angle: number;
  readonly halfMm: number;
  /** Light lost on one side and gained on the other. */
  readonly dark: number;
  readonly bright: number;
  readonly bend: Wander;
}

export interface Relief {
  readonly creases: readonly Crease[];
  readonly shadow: {
    readonly fromLeft: boolean;
    readonly atMm: number;
    readonly softMm: number;
    readonly depth: number;
  } | null;
}

export function drawRelief(seed: number, kind: PageKind, [widthMm, heightMm]: readonly [number, number]): Relief {
  const random = stream(seed, 'page-kind/relief');
  const creases = [0.1, 1.4].map((turn): Crease => ({
    at: [widthMm * random.range(0.3, 0.7), heightMm * random.range(0.3, 0.7)],
    angle: turn + random.range(-0.35, 0.35),
    ...fold(random),
    bend: drawWander(random, 2 * (widthMm + heightMm), 9),
  }));
  const shadow = {
    fromLeft: random.uniform() < 0.5,
    atMm: random.range(0, 0.25) * widthMm,
    softMm: random.range(4, 12),
    depth: random.range(0.12, 0.3),
  };
  return { creases: kind.crease ? creases : [], shadow: kind.shadow ? shadow : null };
}

function fold(random: Random): Pick<Crease, 'halfMm' | 'dark' | 'bright'> {
  return { halfMm: random.range(0.15, 0.5), dark: random.range(0.03, 0.1), bright: random.range(0.01, 0.04) };
}

export function shadeBand(band: Band, { creases, shadow }: Relief): void {
  if (creases.length === 0 && shadow === null) return;
  const widthMm = band.widthPx / band.pxPerMm;
  for (let row = 0; row < band.rows; row++) {
    const y = (band.firstRow + row + 0.5) / band.pxPerMm;
    for (let x = 0; x < band.widthPx; x++) {
      const xMm = (x + 0.5) / band.pxPerMm;
      let light = 1;
      if (shadow) {
        const from = shadow.fromLeft ? xMm : widthMm - xMm;
        light *= 1 - shadow.depth / (1 + Math.exp((from - shadow.atMm) / (shadow.softMm / 3)));
      }
      for (const crease of creases) light *= lightAtCrease(crease, xMm, y);
      const i = 3 * (row * band.widthPx + x);
      for (let c = 0; c < 3; c++) band.data[i + c] *= light;
    }
  }
}

function lightAtCrease(crease: Crease, xMm: number, yMm: number): number {
  const [dx, dy] = [xMm - crease.at[0], yMm - crease.at[1]];
  const along = Math.cos(crease.angle) * dx + Math.sin(crease.angle) * dy;
  const off = -Math.sin(crease.angle) * dx + Math.cos(crease.angle) * dy + 0.3 * wanderAt(crease.bend, along + 120);
  const t = off / crease.halfMm;
  if (Math.abs(t) > 6) return 1;
  return 1 - crease.dark * Math.exp(-0.5 * t * t) + crease.bright * Math.exp(-0.5 * (t - 2) ** 2);
}
