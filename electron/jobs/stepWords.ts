import type { Task } from './tasks.ts';

/** A step of measuring that has just been done, for the line beside the progress. */
export function stepWords(task: Task): string {
  switch (task.task) {
    case 'calibrate':
      return `calibrated by “${task.layout.name}”`;
    case 'paper':
      return 'found bare paper';
    case 'region':
      return `measured “${task.id}”`;
    case 'film':
      return 'fitted the ink as a film';
    case 'overlay':
      return `drew “${task.scanId}”`;
  }
}
