/** One stage of the bench in a process of its own, which loads nothing that the stage does not need: `stage.ts NAME PAGE`, its timings as a line of JSON. */
import { STAGES } from './stages.ts';
import type { Timings } from './stages.ts';
import { taskTimings } from './strokesTasks.ts';
import { writeTargetPage } from './targetPage.ts';
import { viewTimings } from './viewStages.ts';

const [stage, page] = process.argv.slice(2);

function stageOf(name: string): (page: string) => Promise<Timings> {
  if (name === 'view') return viewTimings;
  if (name === 'tasks') return taskTimings;
  if (name === 'targetPage') return async (file) => (await writeTargetPage(file), {});
  return STAGES[name];
}

process.stdout.write(JSON.stringify(await stageOf(stage)(page)));
