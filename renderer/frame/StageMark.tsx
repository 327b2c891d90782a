import type { StageState } from '../../electron/backend/api.ts';

/** Shape carries the state, not colour: a full disc, a diamond with a gap, an empty ring. */
export function StageMark({ state }: { readonly state: StageState }) {
  return (
    <svg className="stage-mark" viewBox="0 0 12 12" width="10" height="10" aria-hidden="true">
      {state === 'done' && <circle cx="6" cy="6" r="5" fill="currentColor" />}
      {state === 'attention' && (
        <path d="M6 0.5L11.5 6 6 11.5 0.5 6zM6 3v3.6M6 8.200v1" fill="none" stroke="currentColor" strokeWidth="1.5" />
      )}
      {state === 'not-yet' && <circle cx="6" cy="6" r="4.25" fill="none" stroke="currentColor" strokeWidth="1.5" />}
    </svg>
  );
}
