/** Rules, squares and dots as a press lays them: a pitch that never varies, a colour, edges that are not quite even. */
import { filmCurve } from '../../sample-scans/generator/film.ts';
import { stream } from '../../sample-scans/generator/random.ts';
import { drawLattice, latticeAt, type Lattice } from '../../sample-scans/generator/smoothNoise.ts';
import { curve, skewedBell, type Curve } from '../../sample-scans/generator/spectra.ts';
import type { PrintPattern } from './kinds.ts';

export interface Print {
  /** Share of the place (mm of the scan) that the print covers, 0..1; seen `cellMm` wide. */
  readonly coverage: (xMm: number, yMm: number, cellMm: number) => number;
  /** Reflectance of the paper where print covers it. */
  readonly reflectance: Curve;
  readonly margin: { readonly coverage: Print['coverage']; readonly reflectance: Curve } | null;
  readonly pitchMm: number;
}

/** Ink of one kind that a press lays on a paper. Colours are invented: greys, pale blues, violets, browns, a warm red. */
const COLOURS: readonly ((nm: number) => number)[] = [
  () => 1,
  (nm) => 0.15 + skewedBell(nm, 610, 55, 0.2),
  (nm) => 0.2 + skewedBell(nm, 570, 45, 0.2),
  (nm) => 0.25 + skewedBell(nm, 440, 70, 0),
];
const MARGIN_RED = (nm: number) => 0.06 + skewedBell(nm, 520, 45, 0.2);

export function drawPrint(
  seed: number,
  pattern: PrintPattern,
  paper: Curve,
  size: readonly [widthMm: number, heightMm: number],
  own: { readonly absorption: Curve } | null,
): Print {
  const random = stream(seed, `print/${pattern}`);
  const pitchMm = pattern === 'ruled' ? random.range(6, 9) : pattern === 'squared' ? random.range(4, 6) : 5;
  const widthMm = pattern === 'dotted' ? random.range(0.3, 0.55) : random.range(0.1, 0.26);
  const depth = random.range(0.1, 0.5);
  const angle = (random.range(-0.9, 0.9) * Math.PI) / 180;
  const phase = [random.range(0, pitchMm), random.range(0, pitchMm)] as const;
  const bowMm = random.range(-0.08, 0.08);
  const ragged = drawLattice(random, { leftMm: -2, topMm: -2, widthMm: size[0] + 4, heightMm: size[1] + 4 }, 0.15);
  const strength = drawLattice(random, { leftMm: -2, topMm: -2, widthMm: size[0] + 4, heightMm: size[1] + 4 }, 6);
  const inked = { ragged, strength, raggedMm: random.range(0.004, 0.012), strengthSd: random.range(0.02, 0.07) };
  const colour = own === null ? curve(random.pick(COLOURS)) : own.absorption;
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  const place = (xMm: number, yMm: number): readonly [u: number, v: number] => {
    const bow = bowMm * (2 * (xMm / size[0]) - 1) ** 2;
    return [cos * xMm + sin * yMm, -sin * xMm + cos * yMm + bow];
  };
  const toLine = (at: number, from: number) => Math.abs(at - from - pitchMm * Math.round((at - from) / pitchMm));
  const distance = (xMm: number, yMm: number): number => {
    const [u, v] = place(xMm, yMm);
    const across = toLine(v, phase[1]);
    if (pattern === 'ruled') return across;
    const along = toLine(u, phase[0]);
    return pattern === 'squared' ? Math.min(across, along) : Math.hypot(across, along);
  };
  const marginAt = random.range(6, 14);
  const hasMargin = pattern === 'ruled' && random.uniform() < 0.7;
  return {
    pitchMm,
    coverage: covered(distance, widthMm / 2, inked),
    reflectance: printed(paper, colour, depth),
    margin: hasMargin
      ? {
          coverage: covered((x, y) => Math.abs(place(x, y)[0] - marginAt), random.range(0.06, 0.15), inked),
          reflectance: printed(paper, curve(MARGIN_RED), random.range(0.2, 0.6)),
        }
      : null,
  };
}

interface Inked {
  readonly ragged: Lattice;
  readonly strength: Lattice;
  readonly raggedMm: number;
  readonly strengthSd: number;
}

function covered(distance: (x: number, y: number) => number, halfMm: number, inked: Inked): Print['coverage'] {
  const far = halfMm + 0.1;
  return (xMm, yMm, cellMm) => {
    const d = distance(xMm, yMm);
    if (d > far) return 0;
    const inside = (halfMm + inked.raggedMm * latticeAt(inked.ragged, xMm, yMm) - d) / cellMm + 0.5;
    if (inside <= 0) return 0;
    return Math.min(1, inside) * Math.max(0, 1 + inked.strengthSd * latticeAt(inked.strength, xMm, yMm));
  };
}

/** `depth`: the share of light that the print takes where it absorbs most. */
function printed(paper: Curve, colour: Curve, depth: number): Curve {
  const top = Math.max(...colour);
  // Of a thin layer on white, ln(1/R) is about twice its K (Kubelka & Munk).
  return filmCurve(
    paper,
    colour.map((k) => k / top),
    0.02,
    -Math.log(1 - depth) / 2,
    curve(() => 0),
  );
}
