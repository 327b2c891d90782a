/** `npm run priors`: writes the tables of analysis/film/priors anew. */
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { priorTables } from './tables.ts';

const folder = join(import.meta.dirname, '../../analysis/film/priors');

for (const [name, text] of priorTables()) {
  await writeFile(join(folder, name), text);
  console.log(`analysis/film/priors/${name}: ${text.length} characters`);
}
