import { measure } from '../api/store.ts';
import { announce } from '../look/announce.ts';

/** Has an ink measured, and tells those who do not see the button what came of asking. */
export async function startMeasuring(ink: number): Promise<void> {
  const problem = await measure(ink);
  announce(problem ? problem.message : 'Measuring.');
}
