import { useEffect, useState } from 'react';
import { isFocusLost } from './focusLost.ts';

/** For what opens in place and takes the focus: when it closes, whoever opened it has the focus again. */
export function useFocusBack(): void {
  // Taken while it is drawn first: its own field has not been given the focus yet.
  const [opener] = useState(() => document.activeElement);
  useEffect(
    () => () => {
      // A button that was switched off meanwhile is on again by then.
      setTimeout(() => {
        if (isFocusLost() && opener instanceof HTMLElement && opener.isConnected) opener.focus();
      });
    },
    [opener],
  );
}
