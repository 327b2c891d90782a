import { forgetMeanwhile, useMeanwhile } from '../api/meanwhile.ts';
import { undo } from '../api/store.ts';
import { Notice } from '../look/Notice.tsx';

/** Another window worked on the same thing of this ink. */
export function InOtherWindow({ ink }: { readonly ink: number }) {
  const said = useMeanwhile(ink);
  if (said === null) return null;
  return (
    <Notice
      {...(said.undoes && { action: { words: 'Undo', run: () => void undo(ink) } })}
      onDismiss={() => forgetMeanwhile(ink)}
    >
      {said.words}
    </Notice>
  );
}
