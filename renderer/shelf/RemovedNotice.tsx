import { useEffect, useRef } from 'react';
import type { InkCard } from '../../electron/backend/api.ts';
import { isFocusLost } from '../look/focusLost.ts';
import { Notice } from '../look/Notice.tsx';
import { forget } from './removedInks.ts';

/** In the place of an ink that was taken off the shelf. */
export function RemovedNotice({ card, onPutBack }: { readonly card: InkCard; readonly onPutBack: () => void }) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    // The button that was pressed has gone with its tile: the keyboard goes on here.
    if (isFocusLost()) place.current?.querySelector('button')?.focus();
  }, []);
  return (
    <div ref={place}>
      <Notice kind="word" action={{ words: 'Put it back', run: onPutBack }} onDismiss={() => forget(card.id)}>
        “{card.name}” is off the shelf. Its scans and findings are kept.
      </Notice>
    </div>
  );
}
