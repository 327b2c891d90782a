/** What an edit did, in the words of the undo menu. */
import { isDeepStrictEqual } from 'node:util';
import type { PointMm } from '../../analysis/calibrate/calibration.ts';
import type { DocumentScan, DocumentTarget, InkDocument } from './document.ts';
import type { SheetRegion } from '../sheet/sheetSchema.ts';

export interface EditWords {
  readonly what: string;
  /** Steps with the same mark that follow each other at once are one step; null: always a step of its own. */
  readonly same: string | null;
}

const SETTINGS: Readonly<Record<string, string | undefined>> = {
  paper: 'paper',
  nib: 'nib',
  nibWidthMm: 'nib’s width',
  run: 'run',
  originMm: 'origin',
  frontMm: 'front',
  travel: 'travel',
  runS: 'run time',
  liquid: 'liquid',
  temperatureC: 'temperature',
  bands: 'bands',
  agent: 'agent',
  state: 'state',
  of: 'link',
  direction: 'direction',
  side: 'side',
  dpi: 'resolution',
};
/** Fields that steps have words of their own for. */
const OTHER_SETTINGS: Readonly<Record<string, string | undefined>> = {
  id: 'name',
  boxMm: 'place',
  claim: 'claimed colour',
  pointsMm: 'points',
  white: 'white sheet',
};
/** What is dragged or nudged, step by step. */
const NUDGED = ['originMm', 'frontMm'];

/** @param together ids of all regions that were moved by one gesture, this one among them */
export function regionWords(before: SheetRegion, after: SheetRegion, together?: readonly string[]): EditWords {
  const id = `“${before.id}”`;
  const fields = changedFields(before, after);
  const only = (...names: string[]): boolean => fields.every((field) => names.includes(field));
  const step = (what: string, same: string | null = null): EditWords => ({ what, same });
  if (before.kind !== after.kind) return step(`type ${id} as ${after.kind}`);
  if (only('id')) return step(`rename region ${id} to “${after.id}”`);
  if (fields.includes('scan') && only('scan', 'boxMm')) return step(`move region ${id} to scan “${after.scan}”`);
  if (only('boxMm') && after.boxMm) {
    const [, , width, height] = before.boxMm ?? [0, 0, 0, 0];
    const isMove = Math.abs(after.boxMm[2] - width) < 1e-6 && Math.abs(after.boxMm[3] - height) < 1e-6;
    const verb = before.boxMm === undefined ? 'place' : isMove ? 'move' : 'resize';
    const ids = together ?? [before.id];
    return step(`${verb} ${counted('region', ids)}`, `${verb} ${ids.join('\n')}`);
  }
  // A nib's width comes with its name.
  if (only('nib', 'nibWidthMm') && fields.includes('nib')) return step(`set the nib of ${id}`);
  const setting = fields.length === 1 ? SETTINGS[fields[0]] : undefined;
  if (setting === undefined) return step(`change region ${id}`);
  return step(`set the ${setting} of ${id}`, NUDGED.includes(fields[0]) ? `${fields[0]} ${before.id}` : null);
}

export function scanWords(before: DocumentScan, after: DocumentScan): EditWords {
  const fields = changedFields(before, after);
  const id = `“${before.id}”`;
  if (fields.every((field) => field === 'id')) return { what: `rename scan ${id} to “${after.id}”`, same: null };
  const isSide = fields.includes('side') && fields.every((field) => field === 'side' || field === 'of');
  const setting = isSide ? 'side' : fields.length === 1 ? SETTINGS[fields[0]] : undefined;
  const what = setting === undefined ? `change scan ${id}` : `set the ${setting} of scan ${id}`;
  return { what, same: null };
}

export function targetWords(
  serves: string,
  before: DocumentTarget | undefined,
  after: DocumentTarget | undefined,
): EditWords {
  const whose = serves === 'all' ? 'the target' : `the target of “${serves}”`;
  if (!after) return { what: `take ${whose} away`, same: null };
  const { pointsMm: oldPoints, white: oldWhite, ...old } = before ?? {};
  const { pointsMm: points, white, ...rest } = after;
  if (before && isDeepStrictEqual(old, rest) && white !== oldWhite && isDeepStrictEqual(points, oldPoints)) {
    const what = white === undefined ? `take the white sheet of ${whose} away` : `set the white sheet of ${whose}`;
    return { what, same: null };
  }
  if (before && isDeepStrictEqual(old, rest) && white === oldWhite) {
    if (points && oldPoints && isTurned(points, oldPoints)) return { what: `turn the points of ${whose}`, same: null };
    return points
      ? { what: `move the points of ${whose}`, same: oldPoints ? `points ${serves}` : null }
      : { what: `have the points of ${whose} found`, same: null };
  }
  return { what: `set ${whose}`, same: null };
}

/** The same four places in another order. */
function isTurned(points: readonly PointMm[], before: readonly PointMm[]): boolean {
  return points.every((p) => before.some((q) => isDeepStrictEqual(p, q)));
}

export function inkWords(before: InkDocument['ink'], after: InkDocument['ink']): EditWords {
  const fields = changedFields(before, after);
  const what = fields.includes('name')
    ? `rename the ink to “${after.name}”`
    : fields.includes('claim')
      ? 'set what the maker says of the colour'
      : 'set the maker';
  return { what, same: null };
}

/** 'region “ef”', '3 regions'. */
export function counted(noun: string, ids: readonly string[]): string {
  return ids.length === 1 ? `${noun} “${ids[0]}”` : `${ids.length} ${noun}s`;
}

/** What a field is called. */
export function settingWord(field: string): string {
  return SETTINGS[field] ?? OTHER_SETTINGS[field] ?? field;
}

export function changedFields(before: object, after: object): string[] {
  const names = new Set([...Object.keys(before), ...Object.keys(after)]);
  return [...names].filter((name) => !isDeepStrictEqual(Reflect.get(before, name), Reflect.get(after, name)));
}
