/** Samples of an ink are held against each other's path on one paper and under one calibration only. */
import { expect, test } from 'vitest';
import { compileCalibration, signalToXyz } from '../../analysis/calibrate/apply.ts';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { pathFindings, pathGroups } from '../../electron/jobs/pathFindings.ts';
import type { RegionResult } from '../../electron/jobs/tasks.ts';
import { regionSchema } from '../../electron/sheet/sheetSchema.ts';
import { triple } from '../../analysis/triple.ts';

const PAPER = [0.86, 0.85, 0.82] as const;
const BLUE = [1.9, 1.2, 0.45] as const;
const GREEN = [1.9, 0.6, 1.1] as const;

const region = (id: string, paper: string, scan = 'page', kind = 'strokes') => ({
  ...regionSchema.parse({ id, scan, kind, boxMm: [0, 0, 20, 10] }),
  paper,
});

function result(id: string, doses: readonly number[], absorption: readonly number[]): RegionResult {
  const bare = barePaperOf(PAPER, compileCalibration(nominalCalibration));
  const covariance = [0.01, 0, 0, 0, 0.01, 0, 0, 0, 0.01];
  const bins = doses.map((dose) => ({
    signal: triple((c) => PAPER[c] * Math.exp(-absorption[c] * dose)),
    share: 1 / doses.length,
    spread: 0,
    clippedShare: 0,
  }));
  const [first] = bins;
  return {
    id,
    quantities: [],
    ink: {
      region: id,
      colour: { xyz: [0.2, 0.2, 0.2], lab: labD50(50, 0, 0), covariance, pixels: 100 },
      placement: [0.05, 0.05, 0.05],
      light: 0,
      paper: bare,
      flags: [],
    },
    marks: null,
    spread: null,
    doses: {
      bins,
      dark: first.signal,
      light: first.signal,
      narrow: false,
      uRepeat: { dE00: 0, dL: 0, dHueDeg: 0 },
    },
    strip: null,
  };
}

const EF = [0.6, 0.8, 1];
const M = [0.9, 1.1, 1.4];
const B = [1.2, 1.5, 1.9];
const results = (other: readonly number[] = BLUE) =>
  new Map([result('ef', EF, BLUE), result('m', M, other), result('b', B, BLUE)].map((r) => [r.id, r]));
const onePage = ['ef', 'm', 'b'].map((id) => region(id, 'white'));
const oddOf = (found: ReturnType<typeof pathFindings>) =>
  found.filter(({ flags }) => flags.includes('another-ink')).map(({ subject }) => subject.regions[0]);

test('one sample of another ink is told, and only that one', () => {
  expect(oddOf(pathFindings(onePage, results(), () => nominalCalibration))).toEqual([]);
  const found = pathFindings(onePage, results(GREEN), () => nominalCalibration);
  expect(found.map(({ subject }) => subject.regions[0])).toEqual(['ef', 'm', 'b']);
  expect(oddOf(found)).toEqual(['m']);
});

test('where sheen was found, the colours beside it are held against the path', () => {
  const own = results(GREEN);
  const shining = own.get('m')!;
  const beside = result('m', M, BLUE).doses!.bins.map(({ signal, share }) => ({
    xyz: signalToXyz(signal, compileCalibration(nominalCalibration)),
    share,
  }));
  own.set('m', { ...shining, doses: { ...shining.doses!, beside } });
  expect(oddOf(pathFindings(onePage, own, () => nominalCalibration))).toEqual([]);
  // All of it within sheen's reach: what there is, is held against it.
  own.set('m', { ...shining, doses: { ...shining.doses!, beside: [] } });
  expect(oddOf(pathFindings(onePage, own, () => nominalCalibration))).toEqual(['m']);
});

test('samples on another paper, or of a scan with another calibration, are not held against these', () => {
  const apart = [region('ef', 'white'), region('m', 'yellow'), region('b', 'white')];
  const found = pathFindings(apart, results(GREEN), () => nominalCalibration);
  expect(found.map(({ value }) => value)).toEqual([null, null, null]);
  const another: Calibration = { ...nominalCalibration };
  const twoScans = [region('ef', 'white'), region('m', 'white', 'second'), region('b', 'white')];
  const split = pathFindings(twoScans, results(), (scan) => (scan === 'page' ? nominalCalibration : another));
  expect(split.every(({ value, flags }) => value === null && flags.includes('cannot-tell'))).toBe(true);
});

test('groups hold writing and swabs of one paper; bare paper and strips stay out', () => {
  const regions = [...onePage, region('swab', 'white', 'page', 'swab'), region('bare', 'white', 'page', 'paper')];
  expect(pathGroups([...regions, region('y', 'yellow')]).map((group) => group.map(({ id }) => id))).toEqual([
    ['ef', 'm', 'b', 'swab'],
    ['y'],
  ]);
});
