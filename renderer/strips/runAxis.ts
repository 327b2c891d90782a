/** A strip's one axis: millimetres of its box, laid out so that the liquid runs to the right, at any zoom. Pure. */
import type { StripDetail } from '../../electron/backend/api.ts';

type Travel = StripDetail['travel'];

export interface RunAxis {
  /** Of the box along the run. */
  readonly lengthMm: number;
  /** The run goes against the box's millimetres (up or to the left): they fall towards the right. */
  readonly falls: boolean;
}

export function runAxis([, , width, height]: readonly [number, number, number, number], travel: Travel): RunAxis {
  const across = travel === 'left' || travel === 'right';
  return { lengthMm: across ? width : height, falls: travel === 'up' || travel === 'left' };
}

/** What is in view, mm from the end of the box where the run starts. */
export interface RunView {
  readonly from: number;
  readonly to: number;
}

/** Closer than this nothing more is to be seen. */
const LEAST_VIEW_MM = 5;

export function wholeRun({ lengthMm }: RunAxis): RunView {
  return { from: 0, to: lengthMm };
}

/** mm from the start of the run → mm of the box, and back: the same step. */
export function turned({ lengthMm, falls }: RunAxis, mm: number): number {
  return falls ? lengthMm - mm : mm;
}

/** The box's millimetres at the left and right end of what is in view. */
export function viewDomain(axis: RunAxis, { from, to }: RunView): readonly [left: number, right: number] {
  return [turned(axis, from), turned(axis, to)];
}

/** mm of the box → px, where the view lies between two edges. */
export function placing(axis: RunAxis, view: RunView, left: number, right: number): (boxMm: number) => number {
  return (boxMm) => left + ((turned(axis, boxMm) - view.from) / (view.to - view.from)) * (right - left);
}

/** px → mm of the box. */
export function readingOff(axis: RunAxis, view: RunView, left: number, right: number): (x: number) => number {
  return (x) => turned(axis, view.from + ((x - left) / (right - left)) * (view.to - view.from));
}

/** @param factor above 1 comes nearer. @param about mm from the start of the run that stay where they are. */
export function zoomed(axis: RunAxis, { from, to }: RunView, factor: number, about: number): RunView {
  const span = Math.min(axis.lengthMm, Math.max(Math.min(LEAST_VIEW_MM, axis.lengthMm), (to - from) / factor));
  const share = (about - from) / (to - from);
  return within(axis, about - share * span, span);
}

export function panned(axis: RunAxis, { from, to }: RunView, byMm: number): RunView {
  return within(axis, from + byMm, to - from);
}

function within({ lengthMm }: RunAxis, from: number, span: number): RunView {
  const start = Math.min(lengthMm - span, Math.max(0, from));
  return { from: start, to: start + span };
}
