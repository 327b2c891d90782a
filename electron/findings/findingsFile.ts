/** `wetline-findings/1`: what other programs read. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import type { CalibrationReport } from './reportShape.ts';

/** The part of a calibration that belongs to the contract; curves and matrices stay inside the program. */
function calibrationSummary(calibration: Calibration) {
  const { judgement, model, leftOutMedian, leftOutMean, leftOut95, leftOutMax, greyMaxChroma, patches, candidates } =
    calibration;
  return { judgement, model, leftOutMedian, leftOutMean, leftOut95, leftOutMax, greyMaxChroma, patches, candidates };
}

/** Readable JSON with one line a finding, so that two files can be compared line by line. */
export function findingsJson(calibration: Calibration, findings: readonly Quantity[]): string {
  const { patches, candidates, ...summary } = calibrationSummary(calibration);
  const head = Object.entries(summary).map(([key, value]) => `    ${JSON.stringify(key)}: ${JSON.stringify(value)}`);
  return [
    '{',
    '  "format": "wetline-findings/1",',
    '  "calibration": {',
    ...head.map((line) => `${line},`),
    `    "candidates": ${lines(candidates, 4)},`,
    `    "patches": ${lines(patches, 4)}`,
    '  },',
    `  "findings": ${lines(findings, 2)}`,
    '}',
    '',
  ].join('\n');
}

/** `wetline-calibration/1`: the report card of a target alone, one line a patch and a candidate. */
export function calibrationJson(report: CalibrationReport): string {
  const keys = Object.entries(report).map(([key, value]) => {
    const isList = Array.isArray(value) && value.every((one) => typeof one === 'object');
    return `  ${JSON.stringify(key)}: ${isList ? lines(value, 2) : JSON.stringify(value)}`;
  });
  return `{\n${keys.join(',\n')}\n}\n`;
}

function lines(things: readonly object[], indent: number): string {
  if (things.length === 0) return '[]';
  const margin = ' '.repeat(indent);
  return `[\n${things.map((thing) => `${margin}  ${JSON.stringify(thing)}`).join(',\n')}\n${margin}]`;
}
