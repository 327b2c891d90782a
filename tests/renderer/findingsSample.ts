/** The sample ink's sheet and accepted findings as the window gets them. */
import { readFileSync } from 'node:fs';
import type { Quantity } from '../../analysis/quantity.ts';
import { findingKey } from '../../analysis/report/findingKey.ts';
import type { TracedFinding } from '../../electron/backend/api.ts';
import { sheetSchema } from '../../electron/sheet/sheetSchema.ts';
import { type Bench, benchOf } from '../../renderer/findings/arrange/bench.ts';

const textOf = (name: string): string => readFileSync(new URL(`../../${name}`, import.meta.url), 'utf8');

const sheet = sheetSchema.parse(JSON.parse(textOf('sample-scans/sheet.json')));
const accepted: { readonly findings: readonly Quantity[] } = JSON.parse(textOf('tests/report/told-findings.json'));

export const sampleFindings: readonly TracedFinding[] = accepted.findings.map((finding) => ({
  key: findingKey(finding),
  finding,
  current: true,
  trace: { scans: [], calibration: 'c1', measuredAt: '2026-01-01T00:00:00Z' },
}));

interface Variation {
  readonly findings?: readonly TracedFinding[];
  readonly measured?: 'current' | 'stale' | 'never';
  readonly without?: readonly string[];
}

/** The sample's bench, or one with fewer regions or findings. */
export function sampleBench({ findings = sampleFindings, measured = 'current', without = [] }: Variation = {}): Bench {
  return benchOf(
    {
      scans: sheet.scans.map(({ id, paper }) => ({ id, paper: paper ?? null })),
      regions: sheet.regions
        .filter(({ id }) => !without.includes(id))
        .map((region) => ({ region, problem: null, measured })),
    },
    { findings, problems: [] },
  );
}
