/** One stage of the bench in a process of its own, which loads nothing that the stage does not need: `stage.ts NAME PAGE`, its timings as a line of JSON. */
import type { Timings } from './stages.ts';

const [stage, page] = process.argv.slice(2);

async function stageOf(name: string): Promise<(page: string) => Promise<Timings>> {
  if (name === 'view') return (await import('./viewStages.ts')).viewTimings;
  if (name === 'tasks') return (await import('./strokesTasks.ts')).taskTimings;
  if (name === 'targetPage') {
    const { writeTargetPage } = await import('./targetPage.ts');
    return async (file) => (await writeTargetPage(file), {});
  }
  return (await import('./stages.ts')).STAGES[name];
}

const timings = await (await stageOf(stage))(page);
process.stdout.write(JSON.stringify(timings));
