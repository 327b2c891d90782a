/** The bands of all strips on the shelf, held against each other. */
import { dyeBands, dyeTable } from '../../analysis/compare/dyeTable.ts';
import { dyeTableNote, sharedDyeText } from '../../analysis/compare/dyeTableWords.ts';
import type { ShelfDyes } from '../backend/stripAnswers.ts';
import type { Library } from '../library/library.ts';

export function shelfDyes(library: Library): ShelfDyes {
  const rows = library.inks();
  const inks: Record<string, number> = {};
  let strips = 0;
  const bands = rows.flatMap(({ id, name }) => {
    const alike = rows.filter((other) => other.name === name);
    const ink = alike.length > 1 ? `${name} (${alike.findIndex((other) => other.id === id) + 1})` : name;
    const { regions, scans } = library.document(id);
    const findings = (library.findings(id)?.findings ?? []).map(({ finding }) => finding);
    return regions.flatMap((region) => {
      if (region.kind !== 'strip') return [];
      strips++;
      inks[ink] = id;
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
  });
  const table = dyeTable(bands);
  return { table, shared: table.shared.map(sharedDyeText), note: dyeTableNote(table), inks, strips };
}
