/** Members of the unions in analysis/quantity.ts, read from its text: a test must see a name that was added a moment ago. */
import { readFileSync } from 'node:fs';
import type { Flag, QuantityName, Unit } from '../../analysis/quantity.ts';

const text = readFileSync(new URL('../../analysis/quantity.ts', import.meta.url), 'utf8');

/** As a JSON array of strings. */
function membersJson(union: string): string {
  const [, body = ''] = new RegExp(`export type ${union} =([^;]+);`).exec(text) ?? [];
  return JSON.stringify([...body.matchAll(/'([^']+)'/g)].map((found) => found[1]));
}

export const QUANTITY_NAMES: readonly QuantityName[] = JSON.parse(membersJson('QuantityName'));
export const FLAGS: readonly Flag[] = JSON.parse(membersJson('Flag'));
export const UNITS: readonly Unit[] = JSON.parse(membersJson('Unit'));
