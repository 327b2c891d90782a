/** A process that measures the first ink of a library and says which regions it has told of. It is killed meanwhile. */
import { Measuring } from '../../electron/jobs/measuring.ts';
import { Library } from '../../electron/library/library.ts';

const library = Library.open(process.argv[2]);
const measuring = new Measuring(library);
measuring.onEvent((event) => {
  if (event.event === 'findings') process.stdout.write(`${event.regions.join()}\n`);
});
measuring.start(library.inks()[0].id);
