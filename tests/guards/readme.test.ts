/** The README's table is what the program prints for the sample scans, by the findings that are kept for them. */
import { expect, test } from 'vitest';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { findingsTable } from '../../electron/findings/findingsTable.ts';
import { textOf } from './projectFiles.ts';

test('every line of the README’s table is printed for the sample', () => {
  const kept: { calibration: Calibration; findings: readonly Quantity[] } = JSON.parse(
    textOf('tests/main/sample-findings.json'),
  );
  const printed = lines(findingsTable(kept.calibration, kept.findings));
  const [, shown] = /```text\n(Calibration [\s\S]*?)```/.exec(textOf('README.md')) ?? [];
  const told = lines(shown ?? '');
  expect(told.length).toBeGreaterThan(8);
  // When numbers have changed on purpose: `npx wetline measure sample-scans`, and copy the same lines again.
  expect(told.filter((line) => !printed.includes(line))).toEqual([]);
});

/** Lines without their padding, which a shorter table has less of. */
function lines(table: string): string[] {
  return table.split('\n').flatMap((line) => line.replaceAll(/ {2,}/g, '  ').trim() || []);
}
