/** What the tests of the commands share: a folder with a sound sheet for each test, and results that the replaced jobs give. */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach } from 'vitest';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import type { MeasureOutcome } from '../../electron/jobs/measureSheet.ts';
import { testFolder } from './folder.ts';
import { putFiles, soundSheet } from './smallSheet.ts';

export type Sound = ReturnType<typeof soundSheet>;

/** `wetline: …` and no second line. */
export const ONE_LINE = /^wetline: [^\n]+\n$/;

export const calibration: Calibration = {
  ...nominalCalibration,
  judgement: 'good',
  model: 'rootPolynomial2',
  leftOutMedian: 0.61,
  leftOutMean: 0.7,
  leftOut95: 1.4,
  leftOutMax: 2.2,
  greyMaxChroma: 0.3,
  patches: [1, 2, 3].map((i) => ({
    id: `P${i}`,
    reference: labD50(50, i, -i),
    fitted: labD50(50, i, 0),
    leftOut: labD50(51, i, 0),
    dE00Fitted: i / 10,
    dE00LeftOut: i / 5,
    device: [0.5, 0.5, 0.5],
    sd: [0.001, 0.001, 0.001],
    clippedShare: 0,
    flags: [],
  })),
};

export const findings: readonly Quantity[] = [
  {
    quantity: 'paperColour',
    subject: { regions: ['bare'] },
    value: [95.1, -0.2, 1.1],
    unit: 'Lab',
    u: [0.2, 0.3, 0.3],
    flags: [],
    method: 'paperColour/1',
  },
  {
    quantity: 'shading',
    subject: { regions: ['ef'] },
    value: 3.217,
    unit: 'ΔE00',
    u: 0.31,
    verdict: 'clear',
    limits: [1, 2.5, 5],
    flags: ['blur-corrected'],
    method: 'shading/1',
  },
  {
    quantity: 'bandPosition',
    subject: { regions: ['run'], band: 2 },
    value: 0.6123,
    unit: '1',
    u: 0.0021,
    flags: ['found'],
    method: 'bandPosition/1',
  },
  {
    quantity: 'bandColour',
    subject: { regions: ['run'], band: 3 },
    value: null,
    unit: 'Lab',
    u: null,
    flags: ['saturated'],
    method: 'bandColour/1',
  },
];

export function outcome(change: Partial<MeasureOutcome> = {}): MeasureOutcome {
  return { findings, calibration, films: [], problems: [], overlays: [], undrawn: [], ...change };
}

export interface CommandBench {
  /** The folder of the running test, with sheet.json and its files in it. */
  readonly path: () => string;
  readonly at: (name: string) => string;
  readonly put: (name: string, content: string | Uint8Array) => string;
  /** Writes the sheet anew with something changed. */
  readonly change: (edit: (sheet: Sound) => unknown) => void;
}

export function commandBench(): CommandBench {
  const folder = testFolder();
  let count = 0;
  const bench: CommandBench = {
    path: () => join(folder.path, String(count)),
    at: (name) => join(folder.path, String(count), name),
    put: (name, content) => folder.put(join(String(count), name), content),
    change(edit) {
      const sheet = soundSheet();
      edit(sheet);
      bench.put('sheet.json', JSON.stringify(sheet));
    },
  };
  beforeEach(() => {
    count++;
    mkdirSync(bench.path());
    putFiles({ path: bench.path(), put: bench.put });
    bench.change(() => undefined);
  });
  return bench;
}
