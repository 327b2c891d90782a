import { tryNow, useConnection } from '../api/followEvents.ts';
import { giveUpSaving, measure, saveAgain, useSaving, useWork } from '../api/store.ts';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { InOtherWindow } from './InOtherWindow.tsx';
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

function NotSaved({ ink }: { readonly ink: number }) {
  const saving = useSaving(ink);
  if (saving.state !== 'failed') return null;
  const what = saving.count === 1 ? 'The last change is' : `${saving.count} changes are`;
  return (
    <Notice action={{ words: 'Save again', run: () => saveAgain(ink) }}>
      {what} not saved: {saving.problem.message} This window tries again by itself.{' '}
      <Button kind="plain" onPress={() => giveUpSaving(ink)}>
        Let it go
      </Button>
    </Notice>
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
