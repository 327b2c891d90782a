/** What a sheet or the window may call by name instead of by file: layouts of targets, and references of one of them. */
import { CHART_4X6_LAYOUT } from '../../analysis/calibrate/builtIn/chart4x6Layout.ts';
import {
  CHART_4X6_PUBLISHED,
  CHART_4X6_PUBLISHED_BEFORE_2014,
} from '../../analysis/calibrate/builtIn/chart4x6Published.ts';
import { CHART_4X6_SPECTRA } from '../../analysis/calibrate/builtIn/chart4x6Spectra.ts';
import { ISO_12641_LAYOUT } from '../../analysis/calibrate/builtIn/iso12641Layout.ts';
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { WETLINE_CARD } from '../../analysis/calibrate/card/plan.ts';

/** `name` of each is its title for people. */
export const BUILT_IN_LAYOUTS: ReadonlyMap<string, TargetLayout> = new Map([
  ['card', WETLINE_CARD.layout],
  ['iso12641-1', ISO_12641_LAYOUT],
  ['chart-4x6', CHART_4X6_LAYOUT],
]);

/** Where a person who gives the four points by hand puts them, to be read after "Put the four points on …". */
export const BUILT_IN_POINTS: ReadonlyMap<string, string> = new Map([
  ['card', 'the middles of the four discs, the one with the light eye first'],
  ['iso12641-1', 'the outer corners of the colours: A1, A22, L22 and L1; the greys lie outside'],
  ['chart-4x6', 'the outer corners of the four corner patches: dark skin, bluish green, black and white'],
]);

export interface BuiltInReference {
  /** For people. */
  readonly title: string;
  /** The layout that it belongs to. */
  readonly layout: string;
  /** CGATS.17 text, its source in its comments. */
  readonly text: string;
}

export const BUILT_IN_REFERENCES: ReadonlyMap<string, BuiltInReference> = new Map([
  [
    'chart-4x6',
    {
      title: '4 × 6 chart: published mean spectra (Ohta 1997)',
      layout: 'chart-4x6',
      text: CHART_4X6_SPECTRA,
    },
  ],
  [
    'chart-4x6-published',
    {
      title: '4 × 6 chart: published Lab, charts made from November 2014 on',
      layout: 'chart-4x6',
      text: CHART_4X6_PUBLISHED,
    },
  ],
  [
    'chart-4x6-published-before-2014',
    {
      title: '4 × 6 chart: published Lab, charts made before November 2014',
      layout: 'chart-4x6',
      text: CHART_4X6_PUBLISHED_BEFORE_2014,
    },
  ],
]);
