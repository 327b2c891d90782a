/** Worlds of one region each, drawn from a seed: pens, papers, inks, scanners and edges, with the truth of every edge quantity. */
import { compileCalibration, signalToXyz } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { type LabD50, xyzToLab } from '../../analysis/colour/lab.ts';
import type { PaperSurface } from '../../analysis/locate/paperSurface.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import type { RegionInput } from '../../analysis/measure/region.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';
import { triple } from '../../analysis/triple.ts';
import { between } from '../draw.ts';
import { drawStrokes, type StrokeDrawing, type Triple } from './drawStrokes.ts';
import { type EdgeShape, pathOf, type Path, roughEdge, sineEdge, smoothEdge, strokeAlong } from './strokeShapes.ts';

export interface EdgeTruth {
  readonly nibMm: number;
  readonly lineWidth: number;
  readonly sd: number;
  readonly raggedness: number;
  /** Length of the 95th percentile of hairs; 0 without. */
  readonly feathering: number;
  readonly hairsPerCm: number;
  readonly edgeBlur: number;
  /** 0 without. */
  readonly halo: number;
  readonly haloLab: LabD50 | null;
  readonly haloDE: number;
}

export type EdgeKind = 'smooth' | 'rough' | 'sine' | 'hairs' | 'halo' | 'soft' | 'stub' | 'yellow on grey';
export const EDGE_KINDS: readonly EdgeKind[] = [
  'smooth',
  'rough',
  'sine',
  'hairs',
  'halo',
  'soft',
  'stub',
  'yellow on grey',
];

export interface EdgeWorld {
  readonly seed: number;
  readonly kind: EdgeKind;
  readonly dpi: number;
  readonly drawing: StrokeDrawing;
  readonly truth: EdgeTruth;
}

export const calibration = compileCalibration(nominalCalibration);
const NIBS = [0.35, 0.45, 0.55, 0.7, 0.9, 1.1];

export function edgeWorld(seed: number, dpi: number, kind = EDGE_KINDS[seed % EDGE_KINDS.length]): EdgeWorld {
  const random = seededRandom(seed * 7919 + 13);
  const bits = dpi > 300 ? 16 : 8;
  const nibMm = NIBS[Math.floor(random() * NIBS.length)];
  const spread = between(random, -0.02, 0.3);
  const widthMm = nibMm * (1 + spread);
  const paper = paperOf(kind, random);
  const absorption = kind === 'yellow on grey' ? ([0.01, 0.05, 1] as const) : inkOf(random);
  const dose = between(random, 0.7, 2.2);
  const shade = between(random, 0, 0.3);
  const swell = kind === 'smooth' ? 0 : between(random, 0, 0.06);
  const shape = shapeOf(kind, random);
  const stubThin = nibMm < 0.7 ? 0.5 : 0.35;
  const stubTurn = between(random, 0, Math.PI);
  const half = (t: number, dx: number, dy: number) => {
    const base = (widthMm / 2) * (1 + swell * Math.sin(9 * t + 1));
    if (kind !== 'stub') return base;
    // A broad edge held at a constant angle: its breadth across the way.
    const across = Math.abs(-dy * Math.cos(stubTurn) + dx * Math.sin(stubTurn));
    return Math.max(0.11, base * Math.hypot(across, stubThin * (1 - across)));
  };
  const hairLength = between(random, 0.1, 0.45);
  const hairs =
    kind === 'hairs'
      ? {
          hairsPerMm: between(random, 0.3, 1.4),
          hair: (r: () => number) => ({
            lengthMm: hairLength * between(r, 0.5, 1),
            widthMm: between(r, 0.05, 0.11),
            slant: between(r, -0.5, 0.5),
          }),
        }
      : {};
  const strokes = pathsOf(random).map((path) =>
    strokeAlong(path, half, (t) => dose * (1 + shade * Math.sin(5 * t + 2)), { shape: shape.edge, ...hairs }, random),
  );
  const halo =
    kind === 'halo'
      ? {
          widthMm: between(random, 0.1, 0.5),
          transmittance: triple((c) => Math.exp(-absorption[(c + (seed % 2)) % 3] * between(random, 0.06, 0.22))),
        }
      : undefined;
  const inkBlurMm = kind === 'soft' ? between(random, 0.02, 0.09) : 0;
  const drawing: StrokeDrawing = {
    widthMm: 34,
    heightMm: 15,
    dpi,
    paper,
    absorption,
    strokes,
    ...(halo && { halo }),
    inkBlurMm,
    scannerBlurMm: (between(random, 0.5, 0.9) * 25.4) / 300,
    noise: between(random, 0.001, 0.004),
    fibres: between(random, 0.001, 0.005),
    bits,
    seed,
  };
  return { seed, kind, dpi, drawing, truth: truthOf(drawing, nibMm, shape.raggedness, inkBlurMm) };
}

function truthOf(d: StrokeDrawing, nibMm: number, raggedness: number, inkBlurMm: number): EdgeTruth {
  const widths = d.strokes.flatMap(({ left, right }) => {
    // Ends are left out of widths.
    const all = Array.from(left, (l, i) => l + right[i]);
    const away = Math.round((1.2 * all[0]) / d.strokes[0].stepMm);
    return all.slice(away, -away);
  });
  const mean = widths.reduce((a, b) => a + b, 0) / widths.length;
  const lengths = d.strokes.flatMap((s) => s.hairs.map((h) => h.lengthMm)).toSorted((a, b) => a - b);
  const edgeCm = d.strokes.reduce((sum, s) => sum + (2 * (s.x.length - 1) * s.stepMm) / 10, 0);
  const haloLab = d.halo ? labOf(triple((c) => d.paper[c] * d.halo!.transmittance[c])) : null;
  return {
    nibMm,
    lineWidth: mean,
    sd: Math.sqrt(widths.reduce((sum, v) => sum + (v - mean) ** 2, 0) / widths.length),
    raggedness,
    feathering: lengths.length > 0 ? lengths[Math.min(lengths.length - 1, Math.floor(0.95 * lengths.length))] : 0,
    hairsPerCm: lengths.length / edgeCm,
    edgeBlur: 2.563103 * inkBlurMm,
    halo: d.halo?.widthMm ?? 0,
    haloLab,
    haloDE: haloLab ? deltaE2000(haloLab, labOf(d.paper)) : 0,
  };
}

function labOf(signal: Triple): LabD50 {
  return xyzToLab(signalToXyz(signal, calibration));
}

function shapeOf(kind: EdgeKind, random: () => number): { edge: EdgeShape; raggedness: number } {
  if (kind === 'sine') {
    const amplitude = between(random, 0.012, 0.05);
    return { edge: sineEdge(amplitude, between(random, 0.35, 1.1)), raggedness: amplitude / Math.SQRT2 };
  }
  if (kind === 'smooth' || kind === 'soft') return { edge: smoothEdge(), raggedness: 0 };
  const sd = kind === 'rough' ? between(random, 0.006, 0.03) : between(random, 0.003, 0.01);
  return { edge: roughEdge(sd, between(random, 0.05, 0.16)), raggedness: sd };
}

function paperOf(kind: EdgeKind, random: () => number): Triple {
  if (kind === 'yellow on grey') return [0.42, 0.42, 0.43];
  const white = between(random, 0.7, 0.9);
  const tint = random() < 0.3 ? between(random, 0.5, 0.9) : between(random, 0.93, 1);
  return [white, white * (0.5 + 0.5 * tint), white * tint];
}

function inkOf(random: () => number): Triple {
  const hue = Math.floor(random() * 3);
  return triple((c) => (c === hue ? between(random, 0.1, 0.6) : between(random, 0.9, 2)));
}

/** A slanting line, a wave, an arc and a slow S, apart from one another. */
function pathsOf(random: () => number): Path[] {
  const slant = between(random, -0.6, 0.6);
  const wave = between(random, 5, 9);
  const high = between(random, 0.4, 1.1);
  const phase = between(random, 0, 6);
  const bow = between(random, 0.3, 1.2);
  return [
    pathOf((t) => [2 + 30 * t, 2 + slant * (t - 0.5)]),
    pathOf((t) => [2 + 30 * t, 5.2 + high * Math.sin(phase + (2 * Math.PI * 30 * t) / wave)]),
    pathOf((t) => [2 + 30 * t, 9.4 - bow * 4 * t * (1 - t)]),
    pathOf((t) => [2.5 + 29 * t, 12.4 + 0.4 * Math.sin(6 * t + phase) - 0.5 * t]),
  ];
}

/** A flat paper as the page pass would have found it. */
export function flatPaperOf(signal: Triple, noise: number): PaperSurface {
  return {
    surface: { coefficients: signal.map((p) => [p]), centre: [0, 0], half: [100, 100] },
    pixelNoise: [noise, noise, noise],
    cellNoise: noise / 10,
    unevenness: 0,
    cells: 100,
    clippedShare: 0,
  };
}

export function inputOf(d: StrokeDrawing): RegionInput {
  return {
    id: `edges-${d.seed}`,
    signal: drawStrokes(d),
    calibration,
    paper: flatPaperOf(d.paper, Math.hypot(d.noise ?? 0, d.fibres ?? 0) + 0.0008),
    bare: barePaperOf(d.paper, calibration),
    // What a card would show, within 2.5 %: the lens and the pixel's own square.
    scannerBlurMm:
      Math.hypot(d.scannerBlurMm, 25.4 / d.dpi / Math.sqrt(12)) * (1 + 0.025 * normal(seededRandom(d.seed))),
    scanFlags: [],
  };
}
