/** How a finding was measured, line by line. */
import type { Quantity, UncertaintyParts } from '../../analysis/quantity.ts';
import { capital, listed } from '../../analysis/report/words.ts';
import { caveatOf, limitsLine, methodLine } from '../../analysis/report/methodLines.ts';
import { unitMark } from '../../analysis/report/titles.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { CalibrationSummary, FindingsReport, TracedFinding, Work, WorkScan } from '../../electron/backend/api.ts';

export interface MeasuredLine {
  readonly title: string;
  readonly text: string;
}

export function measuredLines(chosen: TracedFinding, work: Work, report: FindingsReport): readonly MeasuredLine[] {
  const { finding, trace } = chosen;
  const lines: (MeasuredLine | null)[] = [
    { title: 'Method', text: `${capital(methodLine(finding))}.` },
    line('Word', limitsLine(finding)),
    line('To mind', caveatOf(finding) ?? ''),
    ...scansOf(chosen, work),
    { title: 'Calibration', text: calibrationText(report, trace.calibration) },
    line('Uncertainty', partsText(finding)),
    { title: 'Measured', text: whenText(trace.measuredAt) },
  ];
  return lines.filter((one) => one !== null);
}

function line(title: string, text: string): MeasuredLine | null {
  return text === '' ? null : { title, text: `${capital(text).replace(/\.$/, '')}.` };
}

/** Each scan once, with the start of its file's content hash. */
function scansOf({ trace }: TracedFinding, work: Work): MeasuredLine[] {
  const unique = trace.scans.filter(({ id }, i, all) => all.findIndex((other) => other.id === id) === i);
  return unique.map(({ id, hash }) => ({
    title: unique.length === 1 ? 'Scan' : `Scan “${id}”`,
    text: scanText(
      work.scans.find((scan) => scan.id === id),
      id,
      hash,
    ),
  }));
}

function scanText(scan: WorkScan | undefined, id: string, hash: string): string {
  const content = `content ${hash.slice(0, 10)}`;
  if (!scan) return `“${id}”, no longer in this ink; ${content}.`;
  const parts = [
    scan.name,
    scan.paper === null ? '' : `“${scan.paper}”`,
    scan.dpi === null ? '' : `${fixed(scan.dpi, 0)} dpi`,
    `${scan.bits} bits`,
    content,
  ];
  return `${parts.filter((part) => part !== '').join(', ')}.`;
}

export function calibrationText(report: FindingsReport, key: string | null): string {
  if (key === null) return 'None: the scan’s values were read through its profile, or as sRGB without one.';
  const found: CalibrationSummary | undefined = report.calibrations.find((one) => one.key === key);
  if (!found) return `No longer among those of this ink (${key.slice(0, 10)}).`;
  const { judgement, leftOutMedian, leftOut95, scan } = found;
  const errors = [
    leftOutMedian === null ? '' : `${fixed(leftOutMedian, 2)} ΔE00 in the median`,
    leftOut95 === null ? '' : `${fixed(leftOut95, 2)} at 95 %`,
  ].filter((part) => part !== '');
  const off = errors.length === 0 ? '' : `; patches left out of the fit are off by ${listed(errors)}`;
  return `${capital(judgement)}, from the target in “${scan}”${off}.`;
}

/** The three parts as standard uncertainties; '' when they were not kept apart. */
export function partsText({ uParts, unit, u }: Pick<Quantity, 'uParts' | 'unit' | 'u'>): string {
  if (!uParts || u === null) return '';
  const mark = unitMark(unit);
  const behind = mark === '' ? '' : `${mark === '°' ? '' : ' '}${mark}`;
  const parts = (['repeatability', 'calibration', 'placement'] as const).map(
    (name) => `${partText(uParts[name])}${behind} from ${name}`,
  );
  return `standard uncertainties of ${listed(parts)}, added in quadrature; ± is twice that`;
}

function partText(part: UncertaintyParts[keyof UncertaintyParts]): string {
  return typeof part === 'number' ? small(part) : `(${part.map(small).join(', ')})`;
}

/** Two digits or so of a small number, never in powers of ten. */
function small(value: number): string {
  const decimals = value >= 0.1 || value === 0 ? 2 : Math.min(6, 1 - Math.floor(Math.log10(Math.abs(value))));
  return fixed(value, decimals);
}

const WHEN = new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeStyle: 'short' });

/** In the reader's own time zone. */
export function whenText(iso: string): string {
  const when = new Date(iso);
  return Number.isNaN(when.getTime()) ? iso : `${WHEN.format(when)}.`;
}
