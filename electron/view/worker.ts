/** What runs in the view's worker thread: one task in, plain data out. Kept to a switch; the functions are tested on their own. */
import { ScanError } from '../scans/scanError.ts';
import type { ViewTask } from './messages.ts';
import { openAnew, overviewSource } from './openScans.ts';
import { crop, lab, overview, tile } from './pictures.ts';
import { probe } from './probe.ts';
import { makePyramid } from './pyramidCache.ts';
import { profileProblem } from './scanColours.ts';
import { thumbnail } from './thumbnail.ts';

export default async function run(task: ViewTask) {
  try {
    return await answer(task);
  } catch (error) {
    if (!(error instanceof ScanError)) throw error;
    return { is: 'refused', code: error.code, message: error.message };
  }
}

async function answer(task: ViewTask) {
  switch (task.task) {
    case 'tile':
      return tile(task);
    case 'overview':
      return overview(task);
    case 'decode':
      await overviewSource(task.folder, task.scan);
      return { is: 'done', value: null, pyramid: true };
    case 'crop':
      return crop(task);
    case 'lab':
      return lab(task);
    case 'thumbnail':
      return thumbnail(task);
    case 'probe':
      return probe(task);
    case 'pyramid':
      await makePyramid(task.folder, task.mostBytes, task.scan);
      openAnew(task.scan.hash);
      return { is: 'done', value: null, pyramid: true };
    case 'profile':
      return { is: 'done', value: await profileProblem(task.file), pyramid: false };
  }
}
