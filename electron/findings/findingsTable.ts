/** Findings as aligned text for a terminal. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import type { Flag, Quantity } from '../../analysis/quantity.ts';
import { FLAG_WORDS } from '../../analysis/report/flagWords.ts';
import { twoDecimals, withUncertainty } from '../../analysis/report/valueText.ts';

const LETTERS = new Intl.Segmenter();
const HEADINGS = ['quantity', 'of', 'value ± 2u', 'unit', 'verdict', 'notes'] as const;

export function findingsTable(calibration: Calibration, findings: readonly Quantity[]): string {
  const notes = numbered(findings);
  const rows = findings.map((f): string[] => [
    f.quantity,
    subjectText(f),
    valueText(f),
    f.unit === '1' ? '' : f.unit,
    f.verdict ?? '',
    f.flags.map((flag) => notes.get(flag)).join(' '),
  ]);
  return [
    calibrationLine(calibration),
    '',
    ...aligned([[...HEADINGS], ...rows]),
    ...noteLines(notes),
    ...limitLines(findings),
    ...filmLines(findings),
    '',
  ].join('\n');
}

/** More samples than a pair would make the table wider than any terminal; JSON and CSV name each. */
const MOST_NAMED = 3;

function subjectText({ subject: { regions, band, on } }: Quantity): string {
  const of = regions.length > MOST_NAMED ? `${regions[0]} and ${regions.length - 1} more` : regions.join(', ');
  if (on !== undefined) return `${of} on ${on}`;
  return band === undefined ? of : `${of} band ${band}`;
}

function valueText({ value, u, unit }: Quantity): string {
  if (value === null) return '—';
  if (typeof value === 'number') return withUncertainty(value, typeof u === 'number' ? u : null, unit);
  const parts = typeof u === 'number' || u === null ? [u, u, u] : u;
  return ['L*', 'a*', 'b*'].map((name, i) => `${name} ${withUncertainty(value[i], parts[i])}`).join('  ');
}

function calibrationLine(c: Calibration): string {
  if (c.judgement === 'none')
    return 'No calibration: the scanner’s values were read through each scan’s profile, or as sRGB without one, so all numbers are relative.';
  return (
    `Calibration ${c.judgement} (${c.model}): left-out ΔE00 median ${twoDecimals(c.leftOutMedian)}, ` +
    `95 % ${twoDecimals(c.leftOut95)}, largest ${twoDecimals(c.leftOutMax)}.`
  );
}

/** Flags by number in order of first use: in every row their words would be longer than the numbers they qualify. */
function numbered(findings: readonly Quantity[]): ReadonlyMap<Flag, number> {
  return new Map([...new Set(findings.flatMap((f) => f.flags))].map((flag, i) => [flag, i + 1]));
}

function noteLines(notes: ReadonlyMap<Flag, number>): string[] {
  if (notes.size === 0) return [];
  return ['', 'Notes', ...[...notes].map(([flag, i]) => `${String(i).padStart(3)}  ${FLAG_WORDS[flag]}`)];
}

/** The words are conventions, so their limits stand beside them. */
function limitLines(findings: readonly Quantity[]): string[] {
  const limits = new Map(
    findings.flatMap((f) =>
      f.verdict !== undefined && f.limits && f.limits.length > 0 ? [[f.quantity, f.limits.join(', ')]] : [],
    ),
  );
  if (limits.size === 0) return [];
  return ['', `Limits between the words: ${[...limits].map(([name, l]) => `${name} ${l}`).join('; ')}.`];
}

/** Two ways of telling colours stand in one table: which is whose. */
function filmLines(findings: readonly Quantity[]): string[] {
  const samples = (through: boolean): string[] =>
    findings
      .filter(
        ({ quantity, value, byMap }) => quantity === 'inkColour' && value !== null && (byMap !== undefined) === through,
      )
      .flatMap(({ subject }) => subject.regions);
  const [film, map] = [samples(true), samples(false)];
  if (film.length === 0) return [];
  const others = map.length === 0 ? '' : ` Through the target’s map: ${map.join(', ')}.`;
  return ['', `Colours through the fitted film: ${film.join(', ')}.${others}`];
}

/** Columns as wide as their longest cell, two blanks apart; no blanks at line ends. */
function aligned(rows: readonly (readonly string[])[]): string[] {
  const widths = rows[0].map((_, c) => Math.max(...rows.map((row) => lengthOf(row[c]))));
  return rows.map((row) =>
    row
      .map((cell, c) => cell + ' '.repeat(widths[c] - lengthOf(cell)))
      .join('  ')
      .trimEnd(),
  );
}

/** In characters as a person counts them. */
function lengthOf(text: string): number {
  return [...LETTERS.segment(text)].length;
}
