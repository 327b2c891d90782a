/** What a fit leaves in doubt of differences between its colours. */
import { deltaE2000 } from '../../colour/deltaE.ts';
import { type LabD50, chroma, labToXyz, xyzToLabWhite, labD50 } from '../../colour/lab.ts';
import { differenceDoubt, type FilmColour } from '../../film/filmColour.ts';
import type { FilmFit } from '../../film/fitFilm.ts';
import { deltaESlope } from '../colourPairs.ts';
import { shifted } from './placed.ts';

/** Below this a ΔE00 has no direction: any error makes one. */
const NO_DIRECTION = 0.3;
const STEP = 0.02;

/** Standard uncertainty of ΔE00(a, b). */
export function doubtOfDeltaE(fit: FilmFit, a: FilmColour, b: FilmColour): number {
  if (deltaE2000(a.lab, b.lab) >= NO_DIRECTION) {
    return differenceDoubt(fit, a, b, [...deltaESlope(b.lab, a.lab), ...deltaESlope(a.lab, b.lab)]);
  }
  const perAxis = deltaESlope(a.lab, b.lab);
  return Math.hypot(
    ...perAxis.map((length, axis) =>
      differenceDoubt(
        fit,
        a,
        b,
        [0, 1, 2, 3, 4, 5].map((k) => (k === axis ? -length : k === axis + 3 ? length : 0)),
      ),
    ),
  );
}

/** Of the difference of L*. */
export function doubtOfLightness(fit: FilmFit, a: FilmColour, b: FilmColour): number {
  return differenceDoubt(fit, a, b, [-1, 0, 0, 1, 0, 0]);
}

/** Of the difference of C*. */
export function doubtOfChroma(fit: FilmFit, a: FilmColour, b: FilmColour): number {
  const [ca, cb] = [chromaSlope(a.lab), chromaSlope(b.lab)];
  return differenceDoubt(fit, a, b, [0, -ca[0], -ca[1], 0, ...cb]);
}

/** Of the difference of hue, °. Told as a length at the chroma between the two, so that the least doubt is one of colour and not of an angle. */
export function doubtOfHue(fit: FilmFit, a: FilmColour, b: FilmColour): number {
  const between = Math.max(1, Math.sqrt(chroma(a.lab) * chroma(b.lab)));
  const across = ([, x, y]: LabD50): [number, number] => {
    const square = Math.max(1, x * x + y * y);
    return [(-y * between) / square, (x * between) / square];
  };
  const [ha, hb] = [across(a.lab), across(b.lab)];
  return (differenceDoubt(fit, a, b, [0, -ha[0], -ha[1], 0, ...hb]) / between) * (180 / Math.PI);
}

/** The same ink in CIELAB with its fitted paper as the white, its slopes those of both. */
export function againstPaper(ink: FilmColour, paper: FilmColour): FilmColour {
  const own = (lab: LabD50, white: LabD50): LabD50 => labD50(...xyzToLabWhite(labToXyz(lab), labToXyz(white)));
  const slopes = new Float64Array(ink.slopes.length);
  const size = slopes.length / 3;
  for (let c = 0; c < 3; c++) {
    const byInk = difference((by) => own(shifted(ink.lab, c, by), paper.lab));
    const byPaper = difference((by) => own(ink.lab, shifted(paper.lab, c, by)));
    for (let a = 0; a < 3; a++) {
      for (let j = 0; j < size; j++) {
        slopes[a * size + j] += byInk[a] * ink.slopes[c * size + j] + byPaper[a] * paper.slopes[c * size + j];
      }
    }
  }
  return { lab: own(ink.lab, paper.lab), u: ink.u, slopes };
}

function difference(at: (by: number) => LabD50): [number, number, number] {
  const [up, down] = [at(STEP), at(-STEP)];
  return [(up[0] - down[0]) / (2 * STEP), (up[1] - down[1]) / (2 * STEP), (up[2] - down[2]) / (2 * STEP)];
}

function chromaSlope(lab: LabD50): [number, number] {
  const C = Math.max(chroma(lab), 1e-6);
  return [lab[1] / C, lab[2] / C];
}
