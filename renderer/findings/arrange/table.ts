/** One table of findings, ready to be drawn, walked through by arrow keys and copied: nothing in it but words and findings. */
import type { LabValue } from '../../../analysis/quantity.ts';
import type { TracedFinding } from '../../../electron/backend/api.ts';

export interface FindingsTable {
  readonly id: string;
  readonly title: string;
  /** Heads the column of row headings. */
  readonly corner: string;
  readonly columns: readonly Heading[];
  readonly groups: readonly RowGroup[];
  /** One line under it: what it does not hold, and why. */
  readonly remark?: string;
}

export interface RowGroup {
  /** Null: the table has no groups. */
  readonly heading: Heading | null;
  readonly rows: readonly Row[];
}

export interface Row {
  readonly heading: Heading;
  /** One a column. */
  readonly cells: readonly Cell[];
}

export interface Heading {
  readonly key: string;
  readonly words: string;
  /** Small and grey beside it: a nib's width, a scan's name. */
  readonly detail?: string;
  /** All figures below (or beside) it bear this unit, so that they need not repeat it. */
  readonly unit?: string;
  /** The measured colour that it stands for. */
  readonly swatch?: LabValue;
}

export type Cell = FindingCell | MissingCell | EmptyCell;

export interface FindingCell {
  readonly is: 'finding';
  readonly traced: TracedFinding;
  /** Colour beside the figure; null: none, or the figure is the colour. */
  readonly swatch: LabValue | null;
  /** The colour's name when the figure itself does not say it. */
  readonly name: string;
  /** '' or what the heading cannot say: the band of the other run that a change belongs to. */
  readonly remark: string;
}

export interface MissingCell {
  readonly is: 'missing';
  readonly region: string;
  /** Why there is no figure and what to do. */
  readonly words: string;
}

/** Nothing belongs here. */
export interface EmptyCell {
  readonly is: 'empty';
}

export const EMPTY: EmptyCell = { is: 'empty' };

export function findingCell(
  traced: TracedFinding,
  more: Partial<Pick<FindingCell, 'swatch' | 'name' | 'remark'>> = {},
): FindingCell {
  return { is: 'finding', traced, swatch: null, name: '', remark: '', ...more };
}

export function rowsOf(table: FindingsTable): readonly Row[] {
  return table.groups.flatMap(({ rows }) => rows);
}

export function findingsIn(table: FindingsTable): readonly TracedFinding[] {
  return rowsOf(table).flatMap(({ cells }) => cells.flatMap((cell) => (cell.is === 'finding' ? [cell.traced] : [])));
}
