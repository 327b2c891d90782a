/** An ink with nothing in it, as the backend tells of it. */
import type { InkCard, Work } from '../../electron/backend/api.ts';

export const card: InkCard = {
  id: 1,
  name: 'Heron Grey',
  maker: null,
  claim: null,
  invented: false,
  scans: 0,
  regions: 0,
  findings: 0,
  swatches: [],
  stages: { scans: 'not-yet', findings: 'not-yet' },
  attention: '',
  changedAt: '2026-11-25T12:00:00Z',
};
export const work = (revision: number): Work => ({
  ink: card,
  revision,
  scans: [],
  target: null,
  regions: [],
  undo: null,
  redo: null,
  steps: { undo: null, redo: null },
  job: null,
});
