import type { StageState } from '../../electron/backend/api.ts';

/** How far a stage of the work has come. */
export const STAGE_WORDS: Readonly<Record<StageState, string>> = {
  done: 'done',
  attention: 'asks for attention',
  'not-yet': 'not yet',
};
