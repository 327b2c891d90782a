/** What a reference calls its patches. */
import { type CgatsTable, type Refuse, shown } from './cgats.ts';

/** The first of these names the patches; programs put the layout's ids into any of them, often behind a running number. */
const COLUMNS = ['SAMPLE_ID', 'SAMPLE_NAME', 'SAMPLE_LOC'];

export interface PatchNames {
  /** Row by row, each once. */
  readonly ids: readonly string[];
  /** What else a patch is called, where that is its own → its id. */
  readonly otherNames: ReadonlyMap<string, string>;
}

export function patchNames(table: CgatsTable, refuse: Refuse): PatchNames {
  const [column, ...others] = COLUMNS.map((name) => table.columns.indexOf(name)).filter((c) => c >= 0);
  if (column === undefined) {
    return refuse(
      'reference-fields',
      `line ${table.line}: no SAMPLE_ID among its ${table.columns.length} fields; expected one to name the patches.`,
    );
  }
  const lines = new Map<string, number>();
  for (const { line, values } of table.rows) {
    const id = values[column];
    const before = lines.get(id);
    if (id.trim() === '') {
      refuse('reference-id', `line ${line}: ${table.columns[column]} is empty; expected the patch's name. Add it.`);
    }
    if (before !== undefined) {
      refuse(
        'reference-id',
        `line ${line}: "${shown(id)}" stands on line ${before} already; expected each sample once. Remove one.`,
      );
    }
    lines.set(id, line);
  }
  const ids = table.rows.map(({ values }) => values[column]);
  return { ids, otherNames: new Map(others.flatMap((other) => namesIn(table, other, ids))) };
}

/** Of a further column: nothing, unless it tells all patches apart. */
function namesIn(table: CgatsTable, column: number, ids: readonly string[]): [string, string][] {
  const names = table.rows.map(({ values }) => values[column]);
  if (new Set(names).size < names.length || names.every((name, i) => name === ids[i])) return [];
  return names.map((name, i) => [name, ids[i]]);
}
