/** A sheet of paper on the glass: its colour with fibres and formation, its edge with the thin shadow that a lid leaves. */
import type { Paper } from './paper.ts';
import { stream } from './random.ts';
import type { Triple } from './scanner.ts';
import { addLatticeRow, drawLattice } from './smoothNoise.ts';
import type { Lattice } from './smoothNoise.ts';
import { turn } from './scene.ts';
import type { Band, Placement } from './scene.ts';

export interface SheetOfPaper {
  readonly place: Placement;
  readonly signal: Triple;
  readonly texture: readonly { readonly lattice: Lattice; readonly sd: number }[];
  /** Width of the shadow along the edges, and how deep it is. */
  readonly shadowMm: number;
  readonly shadowDepth: number;
}

export function layPaper(
  seed: number,
  name: string,
  paper: Paper,
  signal: Triple,
  place: Placement,
  amount: number,
): SheetOfPaper {
  const random = stream(seed, `texture/${name}`);
  const size = Math.hypot(place.widthMm, place.heightMm);
  const area = {
    leftMm: place.centreMm[0] - size / 2,
    topMm: place.centreMm[1] - size / 2,
    widthMm: size,
    heightMm: size,
  };
  const shadow = stream(seed, `shadow/${name}`);
  return {
    place,
    signal,
    // Fibres are longer than wide and lie both ways; two crossed lattices and a fine grain look like them.
    texture: [
      {
        lattice: drawLattice(random, area, paper.fibreMm * 1.6, paper.fibreMm * 0.8),
        sd: paper.fibreSd * amount * 0.6,
      },
      {
        lattice: drawLattice(random, area, paper.fibreMm * 0.8, paper.fibreMm * 1.6),
        sd: paper.fibreSd * amount * 0.6,
      },
      { lattice: drawLattice(random, area, paper.fibreMm * 0.6), sd: paper.fibreSd * amount * 0.53 },
      { lattice: drawLattice(random, area, paper.formationMm), sd: paper.formationSd * amount },
    ],
    shadowMm: shadow.range(0.25, 0.5),
    shadowDepth: shadow.range(0.12, 0.3),
  };
}

/** Relative brightness of one row of the paper, around 1. */
export function textureRow(sheet: SheetOfPaper, yMm: number, pxPerMm: number, out: Float32Array): void {
  out.fill(1);
  for (const { lattice, sd } of sheet.texture) {
    if (sd > 0) addLatticeRow(lattice, yMm, 0.5 / pxPerMm, 1 / pxPerMm, sd, out);
  }
}

export function paintPaper(band: Band, sheet: SheetOfPaper): void {
  const { place, signal, shadowMm, shadowDepth } = sheet;
  const { data, widthPx, pxPerMm } = band;
  const { cos, sin } = turn(place);
  const halfW = place.widthMm / 2;
  const halfH = place.heightMm / 2;
  const texture = new Float32Array(widthPx);
  const far = 3 * shadowMm;
  for (let row = 0; row < band.rows; row++) {
    const yMm = (band.firstRow + row + 0.5) / pxPerMm;
    textureRow(sheet, yMm, pxPerMm, texture);
    const dy = yMm - place.centreMm[1];
    for (let x = 0, i = 3 * row * widthPx; x < widthPx; x++, i += 3) {
      const dx = (x + 0.5) / pxPerMm - place.centreMm[0];
      const u = Math.abs(cos * dx + sin * dy) - halfW;
      const v = Math.abs(-sin * dx + cos * dy) - halfH;
      // Distance outside the sheet; negative inside.
      const out = u > 0 && v > 0 ? Math.hypot(u, v) : Math.max(u, v);
      const cover = 0.5 - out * pxPerMm;
      if (cover >= 1) {
        data[i] = signal[0] * texture[x];
        data[i + 1] = signal[1] * texture[x];
        data[i + 2] = signal[2] * texture[x];
        continue;
      }
      if (out > far) continue;
      const shade = 1 - shadowDepth * Math.exp(-Math.max(0, out) / shadowMm);
      const c = cover > 0 ? cover : 0;
      for (let k = 0; k < 3; k++) data[i + k] = c * signal[k] * texture[x] + (1 - c) * data[i + k] * shade;
    }
  }
}
