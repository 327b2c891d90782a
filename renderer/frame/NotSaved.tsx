import { giveUpSaving, saveAgain, useSaving } from '../api/store.ts';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';

/** What was done to an ink and is not in the library: over its pages, and where it stands on the shelf. */
export function NotSaved({ ink }: { readonly ink: number }) {
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
