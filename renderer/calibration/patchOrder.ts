/** The patches of a report as a table: its columns, their order, and what is copied of it. */
import { fixed } from '../../analysis/report/valueText.ts';
import { doubtOf } from '../../analysis/calibrate/referenceDoubt.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import type { CalibrationReport, ReportPatch } from '../../electron/backend/api.ts';
import type { TableData } from '../plots/PlotTable.tsx';

export type SortColumn = 'patch' | 'leftOut' | 'fitted' | 'notes';

export interface PatchSort {
  readonly by: SortColumn;
  readonly down: boolean;
}

export const WORST_FIRST: PatchSort = { by: 'leftOut', down: true };

/** Figures read best from the largest, names from the first. */
export function nextSort(now: PatchSort, by: SortColumn): PatchSort {
  return now.by === by ? { by, down: !now.down } : { by, down: by !== 'patch' };
}

/** Equals keep the layout's order, whichever way the rest goes. */
export function sortedPatches(patches: readonly ReportPatch[], { by, down }: PatchSort): readonly ReportPatch[] {
  if (by === 'patch') return down ? patches.toReversed() : patches;
  const value: Readonly<Record<Exclude<SortColumn, 'patch'>, (patch: ReportPatch) => number>> = {
    leftOut: (p) => p.dE00LeftOut,
    fitted: (p) => p.dE00Fitted,
    notes: (p) => p.notes.length,
  };
  return patches.toSorted((p, q) => (down ? -1 : 1) * (value[by](p) - value[by](q)));
}

/** The neighbour in the table's order, round its end; the first (or last) when none is chosen. */
export function steppedPatch(order: readonly ReportPatch[], chosen: string | null, by: 1 | -1): string | null {
  if (order.length === 0) return null;
  const at = order.findIndex(({ id }) => id === chosen);
  const next = at < 0 ? (by === 1 ? 0 : order.length - 1) : (at + by + order.length) % order.length;
  return order[next].id;
}

const WORST = 5;

/** Those that the scan and the plots name, worst first; the clipped and covered were not judged. */
export function worstOf(patches: readonly ReportPatch[]): readonly ReportPatch[] {
  return sortedPatches(patches, WORST_FIRST)
    .filter((patch) => !isLeftOut(patch))
    .slice(0, WORST);
}

/** Clipped or covered: no fit saw it. */
export function isLeftOut({ flags }: Pick<ReportPatch, 'flags'>): boolean {
  return flags.includes('clipped') || flags.includes('covered');
}

/** Whether any has something to be said of it: only then has the table a column for that. */
export function areNoted(patches: readonly Pick<ReportPatch, 'notes'>[]): boolean {
  return patches.some(({ notes }) => notes.length > 0);
}

/** All that is known of each patch, for a spreadsheet. */
export function patchTable(patches: readonly ReportPatch[]): TableData {
  const hasU = patches.some(({ referenceU }) => referenceU !== null);
  const of = (what: string): string[] => ['L*', 'a*', 'b*'].map((name) => `${name} ${what}`);
  return {
    columns: [
      'patch',
      'ΔE00 left out',
      'ΔE00 fitted',
      ...(hasU ? ['ΔE00 ± 2u'] : []),
      ...of('reference'),
      ...(hasU ? of('reference ± 2u') : []),
      ...of('measured, left out'),
      ...of('measured, fitted'),
      ...['red', 'green', 'blue'].map((name) => `${name} as scanned, %`),
      'clipped, %',
      'notes',
    ],
    rows: patches.map((p) => [
      p.id,
      fixed(p.dE00LeftOut, 2),
      fixed(p.dE00Fitted, 2),
      ...(hasU ? [numberOr(twoUOf(p))] : []),
      ...p.reference.map((v) => fixed(v, 2)),
      ...(hasU ? [0, 1, 2].map((i) => (p.referenceU ? fixed(2 * p.referenceU[i], 2) : '')) : []),
      ...p.leftOut.map((v) => fixed(v, 2)),
      ...p.fitted.map((v) => fixed(v, 2)),
      ...p.device.map((v) => fixed(100 * v, 3)),
      fixed(100 * p.clippedShare, 2),
      p.notes.join('; '),
    ]),
  };
}

function numberOr(value: number | null): string {
  return value === null ? '' : fixed(value, 2);
}

/** 2u of how far off a patch is told: its known value's own doubt, against which a patch's mean over thousands of pixels is none; null: the reference says none. */
export function twoUOf({
  reference: [L, a, b],
  referenceU,
}: Pick<ReportPatch, 'reference' | 'referenceU'>): number | null {
  return referenceU && 2 * doubtOf(labD50(L, a, b), referenceU);
}

/** '4.2 ± 0.3', or '4.2' where the reference says nothing of its own doubt. */
export function offText(dE00: number, patch: ReportPatch, digits: 1 | 2): string {
  const twoU = twoUOf(patch);
  return twoU === null ? fixed(dE00, digits) : `${fixed(dE00, digits)} ± ${fixed(twoU, digits)}`;
}

/** What the figures' ± is, or that they have none. */
export function doubtOfPatches(patches: readonly ReportPatch[]): string {
  return patches.some(({ referenceU }) => referenceU !== null)
    ? '± 2u is of the known values, as the reference gives it.'
    : 'Against the known values as they are given: the reference does not say how sure they are, so no ± can be told.';
}

/** Short names for a narrow column; the reading and the copied table have them in full. */
export const FLAG_NAMES: Readonly<Record<ReportPatch['flags'][number], string>> = {
  clipped: 'clipped',
  covered: 'covered',
  'not-monotone': 'out of order',
};

/** 'C71 is told 4.2 ΔE00 off by a fit that never saw it: …' */
export function patchSentence(patch: ReportPatch, patches: readonly ReportPatch[]): string {
  const { id, dE00LeftOut, reference, leftOut } = patch;
  const off = offText(dE00LeftOut, patch, 1);
  if (isLeftOut(patch)) {
    return `${id} was left out of every fit; the calibration tells it ${off} ΔE00 off.`;
  }
  const judged = sortedPatches(patches, WORST_FIRST).filter((p) => !isLeftOut(p));
  const place = judged.indexOf(patch) + 1;
  const rank = place === 1 ? 'the furthest' : place === judged.length ? 'the nearest' : `number ${place}`;
  const [dL, da, db] = [0, 1, 2].map((i) => leftOut[i] - reference[i]);
  const ways = [...way(dL, 'lighter', 'darker'), ...way(da, 'redder', 'greener'), ...way(db, 'yellower', 'bluer')];
  const how = ways.length === 0 ? '' : `, ${ways.join(', ')}`;
  return `${id} is told ${off} ΔE00 off by a fit that never saw it${how}: ${rank} of ${judged.length}.`;
}

/** Less than this nobody would say, in L*, a* or b*. */
const WORTH_A_WORD = 0.5;

function way(by: number, more: string, less: string): string[] {
  return Math.abs(by) < WORTH_A_WORD ? [] : [`${fixed(Math.abs(by), 1)} ${by > 0 ? more : less}`];
}

export function figureTable(report: CalibrationReport): TableData {
  const two = (value: number | null): string => (value === null ? '' : fixed(value, 2));
  return {
    columns: ['ΔE00', 'left out', 'fitted'],
    rows: [
      ['median', two(report.leftOutMedian), two(report.fittedMedian)],
      ['mean', two(report.leftOutMean), two(report.fittedMean)],
      ['95 % lie below', two(report.leftOut95), two(report.fitted95)],
      ['largest', two(report.leftOutMax), two(report.fittedMax)],
    ],
  };
}

export function modelTable({ candidates }: Pick<CalibrationReport, 'candidates'>): TableData {
  return {
    columns: ['model', 'ridge', 'left-out mean, ΔE00', 'standard error', 'taken'],
    rows: candidates.map((c) => [
      MODEL_NAMES[c.model],
      c.ridge === 0 ? 'none' : String(c.ridge),
      fixed(c.leftOutMean, 2),
      fixed(c.standardError, 2),
      c.chosen ? 'taken' : '',
    ]),
  };
}

const MODEL_NAMES: Readonly<Record<CalibrationReport['model'], string>> = {
  linear: '3 × 3 matrix',
  affine: '3 × 3 with offset',
  rootPolynomial2: 'root polynomial, degree 2',
  rootPolynomial3: 'root polynomial, degree 3',
  nominal: 'sRGB',
};

export function driftTable({ drift }: Pick<CalibrationReport, 'drift'>): TableData {
  return {
    columns: ['moved since', 'median, ΔE00', 'most, ΔE00', 'red, %', 'green, %', 'blue, %'],
    rows: drift.earlier.map(({ name, at, compared }) => [
      at === null ? name : `${at.slice(0, 10)} ${name}`,
      ...(compared
        ? [
            fixed(compared.medianDE00, 2),
            fixed(compared.largestDE00, 2),
            ...compared.brighterPercent.map((value) => fixed(value, 1)),
          ]
        : ['settings changed', '', '', '', '']),
    ]),
  };
}
