/** The sample ink's regions and accepted findings, as sentences need them. */
import { readFileSync } from 'node:fs';
import type { Quantity } from '../../analysis/quantity.ts';
import { findingKey } from '../../analysis/report/findingKey.ts';
import { namesOf, type RegionName } from '../../analysis/report/names.ts';
import { sheetSchema } from '../../electron/sheet/sheetSchema.ts';

const textOf = (name: string): string => readFileSync(new URL(`../../${name}`, import.meta.url), 'utf8');
const sheet = sheetSchema.parse(JSON.parse(textOf('sample-scans/sheet.json')));
const accepted: { readonly findings: readonly Quantity[] } = JSON.parse(textOf('tests/report/told-findings.json'));

export const sampleFindings = accepted.findings;

export const sampleRegions: readonly RegionName[] = sheet.regions.map((region) => ({
  id: region.id,
  kind: region.kind,
  nib: 'nib' in region ? (region.nib ?? null) : null,
  paper: region.paper ?? sheet.scans.find((scan) => scan.id === region.scan)?.paper ?? null,
  run: region.kind === 'strip' ? (region.run ?? null) : null,
}));

export const sampleNames = namesOf(sampleRegions, sampleFindings);

export function sampleFinding(key: string): Quantity {
  const found = sampleFindings.find((finding) => findingKey(finding) === key);
  if (!found) throw new Error(`the sample has no finding ${key}`);
  return found;
}
