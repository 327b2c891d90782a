/**
 * What the window is told of an invented ink on two of four papers: colours computed by the layer model, three papers' worth of check,
 * and one pen of which nothing can be foretold.
 */
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { WAVELENGTHS_NM, xyzOnGrid } from '../../analysis/film/grid.ts';
import { layerReflectance } from '../../analysis/film/layer.ts';
import type { LabValue, Quantity } from '../../analysis/quantity.ts';
import type { OpacityAnswer, OpacityPen, OpacitySample, Prediction } from '../../electron/backend/opacityAnswer.ts';
import { againstPaper } from '../../renderer/reading/shownColours.ts';

const lobe = (nm: number, centre: number, sd: number): number => Math.exp(-(((nm - centre) / sd) ** 2) / 2);
const absorbs = WAVELENGTHS_NM.map((nm) => lobe(nm, 600, 48) + 0.5 * lobe(nm, 540, 42) + 0.05);

const GROUNDS = {
  'bright white, smooth': WAVELENGTHS_NM.map((nm) => 0.88 - 0.08 * lobe(nm, 380, 40)),
  'yellow, dyed': WAVELENGTHS_NM.map((nm) => 0.82 - 0.5 / (1 + Math.exp((nm - 490) / 14))),
  'ivory laid': WAVELENGTHS_NM.map((nm) => 0.86 - 0.15 / (1 + Math.exp((nm - 480) / 30))),
  'grey board': WAVELENGTHS_NM.map(() => 0.55),
} as const;
export type Paper = keyof typeof GROUNDS;
export const PAPERS: readonly Paper[] = ['bright white, smooth', 'yellow, dyed', 'ivory laid', 'grey board'];

export function labOn(paper: Paper, dose: number): LabValue {
  const reflectance = GROUNDS[paper].map((r, l) => layerReflectance(r, dose * absorbs[l], 0.02 * dose));
  const [L, a, b] = xyzToLab(xyzOnGrid(Float64Array.from(reflectance)));
  return [L, a, b];
}

const DOSES = [0, 0.1, 0.3, 0.6, 1, 1.6, 2.4];
const U: LabValue = [0.6, 0.9, 1.1];

function sampleOf(region: string, scan: string, paper: Paper, dose: number): OpacitySample {
  const [lab, paperLab] = [labOn(paper, dose), labOn(paper, 0)];
  return { region, scan, paper, lab, paperLab, adapted: againstPaper(lab, paperLab), u: [0.4, 0.5, 0.5], by: 'film' };
}

export function predictionOn(paper: Paper, pen: string, region: string, dose: number): Prediction {
  const [lab, ground] = [labOn(paper, dose), labOn(paper, 0)];
  return {
    pen,
    paper,
    ground,
    lab,
    u: U,
    adapted: againstPaper(lab, ground),
    name: 'dark blue',
    by: 'film-fit',
    flags: [],
    leftOutError: 1.24,
    hiding: quantity('hiding.predicted', [region], {
      subject: { regions: [region], on: paper },
      value: 0.62,
      u: 0.03,
      verdict: 'translucent',
    }),
    rendering: {
      region,
      from: DOSES.map((one) => labOn('bright white, smooth', one)),
      to: DOSES.map((one) => labOn(paper, one)),
    },
  };
}

function quantity(name: Quantity['quantity'], regions: readonly string[], more: Partial<Quantity>): Quantity {
  return { quantity: name, subject: { regions }, value: 1, u: 0.1, unit: '1', flags: [], method: `${name}/1`, ...more };
}

function penOf(
  key: string,
  words: string,
  nib: string | null,
  ids: readonly [string, string],
  dose: number,
): OpacityPen {
  const samples = [
    sampleOf(ids[0], 'white', 'bright white, smooth', dose),
    sampleOf(ids[1], 'yellow', 'yellow, dyed', dose),
  ];
  return {
    key,
    words,
    nib,
    kind: nib === null ? 'swab' : 'strokes',
    samples,
    pairs: [
      {
        regions: ids,
        toneShift: quantity('toneShift', ids, { value: 7.9, u: 0.5, unit: 'ΔE00' }),
        adapted: quantity('toneShift.adapted', ids, { value: 5.1, u: 0.5, unit: 'ΔE00' }),
        hiding: quantity('hiding', ids, { value: 0.56, u: 0.03, verdict: 'translucent' }),
      },
    ],
    layer: {
      by: 'film-fit',
      words: 'From the ink’s absorption curve, at the doses of 2 samples.',
      channels: ['red', 'green', 'blue'].map((name) => ({ name, r0: 0.01, uR0: 0.002, t: 0.5, uT: 0.03 })),
      film: quantity('film', ids, { value: 0.5 }),
      contrastRatios: [],
      foretoldContrastRatio: quantity('contrastRatio.predicted', ids, { value: 0.398, u: 0.04 }),
    },
    predictions: [predictionOn('ivory laid', key, ids[0], dose), predictionOn('grey board', key, ids[0], dose)],
    check: {
      median: 1.24,
      papers: [
        {
          paper: 'bright white, smooth',
          region: ids[0],
          predicted: labOn('bright white, smooth', dose * 1.05),
          measured: labOn('bright white, smooth', dose),
          dE00: 1.31,
          u: 0.62,
        },
      ],
    },
  };
}

const alone: OpacityPen = {
  ...penOf('["strokes","B"]', 'broad nib', 'B', ['b-white', 'b-yellow'], 1.6),
  samples: [sampleOf('b-white', 'white', 'bright white, smooth', 1.6)],
  pairs: [],
  layer: {
    by: 'none',
    words: 'It lies on one ground only. Write it on a second paper of another colour.',
    channels: null,
    film: null,
    contrastRatios: [],
    foretoldContrastRatio: null,
  },
  predictions: [],
  check: null,
};

export const opacityAnswer: OpacityAnswer = {
  pens: [
    penOf('["swab",null,0]', 'swab', null, ['swab-even-white', 'swab-even-yellow'], 1),
    penOf('["strokes","M"]', 'medium nib', 'M', ['m-white', 'm-yellow'], 1.1),
    alone,
  ],
  papers: PAPERS.map((name, i) => ({ name, lab: labOn(name, 0), own: i < 2 })),
  missing: [{ regions: ['b-white'], words: alone.layer.words }],
};
