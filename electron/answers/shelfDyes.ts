/** The bands of all strips on the shelf, held against each other. */
import { type DyeBand, dyeBands, dyeTable } from '../../analysis/compare/dyeTable.ts';
import { dyeTableNote, sharedDyeText } from '../../analysis/compare/dyeTableWords.ts';
import type { ShelfDyes } from '../backend/stripAnswers.ts';
import type { InkRow } from '../library/inkShelf.ts';
import type { Library } from '../library/library.ts';

/** One ink's share; it holds as long as the ink has that revision, which findings and edits advance, and that name here. */
interface InkStrips {
  readonly revision: number;
  readonly ink: string;
  readonly strips: number;
  readonly bands: readonly DyeBand[];
}

/** All findings of an ink are read for its few bands: once, not for every look at the shelf's dyes. */
const kept = new WeakMap<Library, ReadonlyMap<number, InkStrips>>();

export function shelfDyes(library: Library): ShelfDyes {
  const rows = library.inks();
  const before = kept.get(library);
  const now = new Map<number, InkStrips>();
  for (const row of rows) {
    const alike = rows.filter(({ name }) => name === row.name);
    // By age, not by the shelf's order, which every change turns round.
    const older = alike.filter(({ id }) => id < row.id);
    const ink = alike.length > 1 ? `${row.name} (${older.length + 1})` : row.name;
    const held = before?.get(row.id);
    const holds = held?.revision === row.revision && held.ink === ink;
    now.set(row.id, holds ? held : stripsOf(library, row, ink));
  }
  kept.set(library, now);
  const withStrips = [...now].filter(([, { strips }]) => strips > 0);
  const table = dyeTable(withStrips.flatMap(([, { bands }]) => bands));
  return {
    table,
    shared: table.shared.map(sharedDyeText),
    note: dyeTableNote(table),
    inks: Object.fromEntries(withStrips.map(([id, { ink }]) => [ink, id])),
    strips: withStrips.reduce((sum, [, { strips }]) => sum + strips, 0),
  };
}

function stripsOf(library: Library, { id, revision }: InkRow, ink: string): InkStrips {
  const { regions, scans } = library.document(id);
  const own = regions.filter((region) => region.kind === 'strip');
  if (own.length === 0) return { revision, ink, strips: 0, bands: [] };
  const findings = (library.findings(id)?.findings ?? []).map(({ finding }) => finding);
  const bands = own.flatMap((region) => {
    const strip = {
      ink,
      region: region.id,
      paper: region.paper ?? scans.find((scan) => scan.id === region.scan)?.paper ?? null,
      liquid: region.liquid ?? null,
      temperatureC: region.temperatureC ?? null,
      run: region.run ?? null,
    };
    return dyeBands(strip, findings);
  });
  return { revision, ink, strips: own.length, bands };
}
