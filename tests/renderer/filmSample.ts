/**
 * A film answer as the window gets it, of an invented ink with two bands on the sample's two papers: colours computed by the
 * layer model, what the map says a little off, the last swab strip on yellow a misfit.
 */
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { WAVELENGTHS_NM, xyzOnGrid } from '../../analysis/film/grid.ts';
import { layerReflectance } from '../../analysis/film/layer.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { FilmAnswer, FilmCurve, FilmOfInk, FilmPoint } from '../../electron/backend/filmAnswer.ts';

const lobe = (nm: number, centre: number, sd: number): number => Math.exp(-(((nm - centre) / sd) ** 2) / 2);
const raw = WAVELENGTHS_NM.map((nm) => lobe(nm, 600, 48) + 0.5 * lobe(nm, 540, 42) + 0.22 * lobe(nm, 400, 40) + 0.05);
const top = Math.max(...raw);
const k = raw.map((v) => v / top);

/** K of the layer at the median dose. */
const MEDIAN_K = 1.1;
const SCATTER = 0.02;

const PAPERS = {
  'bright white, smooth': {
    scan: 'white',
    ground: WAVELENGTHS_NM.map((nm) => 0.88 - 0.08 * lobe(nm, 380, 40)),
    seen: [0.32, 2.9],
  },
  'yellow, dyed': {
    scan: 'yellow',
    ground: WAVELENGTHS_NM.map((nm) => 0.82 - 0.5 / (1 + Math.exp((nm - 490) / 14))),
    seen: [0.45, 1.9],
  },
} as const;
type Paper = keyof typeof PAPERS;

function labOf(paper: Paper, dose: number): LabValue {
  const { ground } = PAPERS[paper];
  const reflectance = ground.map((r, l) => layerReflectance(r, dose * MEDIAN_K * k[l], dose * SCATTER));
  const [L, a, b] = xyzToLab(xyzOnGrid(Float64Array.from(reflectance)));
  return [L, a, b];
}

const DOSES = Array.from({ length: 33 }, (_, i) => 0.2 * 20 ** (i / 32));

function curveOn(paper: Paper): FilmCurve {
  const { scan, seen } = PAPERS[paper];
  const beyond = (dose: number): number => Math.max(0, Math.log(seen[0] / dose), Math.log(dose / seen[1]));
  return {
    paper,
    scan,
    paperLab: labOf(paper, 0),
    doses: DOSES,
    lab: DOSES.map((dose) => labOf(paper, dose)),
    u: DOSES.map((dose): LabValue => [0.25 + 0.4 * beyond(dose), 0.4 + 0.9 * beyond(dose), 0.5 + beyond(dose)]),
    seen,
  };
}

function pointOn(paper: Paper, region: string, dose: number, misfit = 0.8): FilmPoint {
  const lab = labOf(paper, dose);
  return {
    region,
    paper,
    dose,
    lab,
    byMap: [lab[0] + 0.3, lab[1] - 1.4 * dose, lab[2] + 1.1],
    byMapU: [0.7, 1.1, 1.2],
    misfit,
  };
}

const strips = (paper: Paper, region: string, doses: readonly number[]): FilmPoint[] =>
  doses.map((dose, i) => pointOn(paper, region, dose, 0.5 + (i % 3) * 0.3));

const points: readonly FilmPoint[] = [
  pointOn('bright white, smooth', 'ef-white', 0.7),
  pointOn('bright white, smooth', 'm-white', 1.15),
  pointOn('bright white, smooth', 'b-white', 1.6),
  pointOn('bright white, smooth', 'swab-even-white', 1),
  ...strips('bright white, smooth', 'swab-graded-white', [0.32, 0.45, 0.62, 0.85, 1.2, 1.7, 2.3, 2.9]),
  pointOn('yellow, dyed', 'ef-yellow', 0.66),
  pointOn('yellow, dyed', 'm-yellow', 1.0),
  pointOn('yellow, dyed', 'b-yellow', 1.4),
  pointOn('yellow, dyed', 'swab-even-yellow', 1.1),
  ...strips('yellow, dyed', 'swab-graded-yellow', [0.45, 0.7, 1.05, 1.5]),
  pointOn('yellow, dyed', 'swab-graded-yellow', 1.9, 4.2),
];

export const fit: FilmOfInk = {
  regions: [...new Set(points.map(({ region }) => region))],
  taughtBy: 'spectra',
  absorption: { nm: WAVELENGTHS_NM, k, u: WAVELENGTHS_NM.map((nm) => 0.012 + 0.07 * lobe(nm, 400, 40) * 0.8) },
  curves: [curveOn('bright white, smooth'), curveOn('yellow, dyed')],
  points,
  ends: [
    {
      region: 'b-white',
      lab: [31, 13, -27],
      paper: labOf('bright white, smooth', 0),
      dark: [29, 13, -26],
      light: [34, 13, -28],
    },
  ],
  quality: {
    ratio: 1.32,
    verdict: 'doubtful',
    misfits: [
      {
        region: 'swab-graded-yellow',
        words: 'leaves the ink’s curve towards another hue, by 4.2 standard deviations',
      },
    ],
  },
  advice: 'A third paper with a graded swab would make hue and chroma surer by about a fifth.',
};

export const filmAnswer: FilmAnswer = {
  fits: [fit],
  missing: [{ regions: ['fresh', 'dried'], words: 'Along a strip the dyes part, so no one curve holds.' }],
};

export const noFilm: FilmAnswer = {
  fits: [],
  missing: [
    {
      regions: ['ef-white', 'm-white'],
      words: 'On “bright white, smooth” there are two doses of the ink; four are needed.',
    },
  ],
};
