/** A process that measures the first ink of a library and says which regions it has told of, once one of those that are waited for is among them. It is killed meanwhile. */
import { Measuring } from '../../electron/jobs/measuring.ts';
import { Library } from '../../electron/library/library.ts';

const [place, awaited] = process.argv.slice(2);
const library = Library.open(place);
const measuring = new Measuring(library);
measuring.onEvent((event) => {
  if (event.event !== 'findings' || !event.regions.some((id) => awaited.split(',').includes(id))) return;
  process.stdout.write(`${event.regions.join()}\n`);
});
measuring.start(library.inks()[0].id);
