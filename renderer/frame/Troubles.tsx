import { tryNow, useConnection } from '../api/followEvents.ts';
import { measure, useWork } from '../api/store.ts';
import { Notice } from '../look/Notice.tsx';
import { InOtherWindow } from './InOtherWindow.tsx';
import { NotSaved } from './NotSaved.tsx';
import { UndrawnNames } from './UndrawnNames.tsx';

/** What stands in the way just now, in words, with what to do: right under the strip. */
export function Troubles({ ink }: { readonly ink: number | null }) {
  const connection = useConnection();
  return (
    <div className="troubles">
      {connection.state === 'lost' && (
        <Notice action={{ words: 'Try now', run: tryNow }}>
          {connection.words} What you see is how things last were; this window tries again by itself.
        </Notice>
      )}
      {ink !== null && <NotSaved ink={ink} />}
      {ink !== null && <InOtherWindow ink={ink} />}
      {ink !== null && <JobFailed ink={ink} />}
      <UndrawnNames ink={ink} />
    </div>
  );
}

function JobFailed({ ink }: { readonly ink: number }) {
  const work = useWork(ink);
  const job = work.state === 'ready' ? work.value.job : null;
  if (job?.state !== 'failed') return null;
  return (
    <Notice action={{ words: 'Measure again', run: () => void measure(ink) }}>
      Measuring stopped: {job.problem ?? 'no reason was given.'} What was measured until then is kept.
    </Notice>
  );
}
