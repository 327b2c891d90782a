/** The sample ink as plots get it; details of regions are drawn up here, since only scans hold the real ones. */
import { readFileSync } from 'node:fs';
import type { Quantity } from '../../analysis/quantity.ts';
import { findingKey } from '../../analysis/report/findingKey.ts';
import type { InkDetail, RegionDetail, StripDetail, TracedFinding } from '../../electron/backend/api.ts';
import { sheetSchema } from '../../electron/sheet/sheetSchema.ts';
import type { PlottedWork } from '../../renderer/plots/regionPaper.ts';

const textOf = (name: string): string => readFileSync(new URL(`../../${name}`, import.meta.url), 'utf8');
const sheet = sheetSchema.parse(JSON.parse(textOf('sample-scans/sheet.json')));
const accepted: { readonly findings: readonly Quantity[] } = JSON.parse(textOf('tests/report/told-findings.json'));

export const work: PlottedWork = {
  scans: sheet.scans.map(({ id, paper }) => ({ id, paper: paper ?? null })),
  regions: sheet.regions.map((region) => ({ region })),
};

export const traced: readonly TracedFinding[] = accepted.findings.map((finding) => ({
  key: findingKey(finding),
  finding,
  current: true,
  trace: {
    scans: finding.subject.regions.map((id) => ({ id: scanOf(id), hash: 'c9bc13b01608194fd995' })),
    calibration: 'c1',
    measuredAt: '2026-01-02T03:04:05Z',
  },
}));

function scanOf(id: string): string {
  return sheet.regions.find((region) => region.id === id)?.scan ?? '';
}

export const inkDetail: InkDetail = {
  lab: [45, 10, -25],
  paper: [94.5, -0.2, 0.8],
  dark: [41, 11, -26],
  light: [49, 9, -24],
  lightness: { firstL: 40, stepL: 0.5, counts: [0, 10, 20, 30, 40, 30, 30, 40, 30, 20, 10, 0, 0, 0, 0, 0, 0, 0, 1] },
};

/** Travel up: mm count from the box's top, where the front is; the origin lies at 80 mm, the front at 20. */
export const stripDetail: StripDetail = {
  travel: 'up',
  originMm: 80,
  frontMm: 20,
  placesMm: [14, 20, 32, 50, 68, 80, 86],
  lab: [
    [94, 0, 2],
    [93, 0, 2],
    [60, -5, -45],
    [93, 0, 3],
    [76, 40, 7],
    [70, 5, -10],
    [94.2, 0, 1],
  ],
  absorbance: [
    [0, 0, 0.9, 0.01, 0.05, 0.3, 0],
    [0, 0, 0.4, 0.01, 0.5, 0.3, 0],
    [0, 0, 0.1, 0.01, 0.2, 0.2, 0],
  ],
  fitted: [
    [0, 0, 0.88, 0, 0.05, 0.3, 0],
    [0, 0, 0.41, 0, 0.5, 0.3, 0],
    [0, 0, 0.1, 0, 0.2, 0.2, 0],
  ],
  bands: [
    { band: 1, centreMm: 68, fromMm: 62, toMm: 73, lab: [76, 40, 7], rF: 0.2, share: 20 },
    { band: 2, centreMm: 32, fromMm: 27, toMm: 37, lab: [60, -5, -45], rF: 0.8, share: 70 },
  ],
};

export function detailOf(region: string, of: Partial<RegionDetail>): RegionDetail {
  return {
    region,
    scan: scanOf(region),
    boxPx: [100, 200, 400, 100],
    marks: false,
    ink: null,
    edge: null,
    strip: null,
    ...of,
  };
}

export const details: Readonly<Record<string, RegionDetail>> = {
  'ef-white': detailOf('ef-white', { ink: inkDetail, marks: true }),
  'b-white': detailOf('b-white', {
    ink: { ...inkDetail, lab: [30, 12, -23], dark: [28, 12, -23], light: [32, 12, -23] },
  }),
  fresh: detailOf('fresh', { strip: stripDetail }),
};
