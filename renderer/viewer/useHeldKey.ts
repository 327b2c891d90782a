/** Whether a key is being held down, wherever on the page, except while typing. */
import { useEffect, useState } from 'react';

export function useHeldKey(key: string): boolean {
  const [held, setHeld] = useState(false);
  useEffect(() => {
    const down = (event: KeyboardEvent): void => {
      if (event.key !== key || event.ctrlKey || event.metaKey || event.altKey || isTyping(event.target)) return;
      setHeld(true);
    };
    const up = (event: KeyboardEvent): void => {
      if (event.key.toLowerCase() === key) setHeld(false);
    };
    const away = (): void => setHeld(false);
    addEventListener('keydown', down);
    addEventListener('keyup', up);
    addEventListener('blur', away);
    return () => {
      removeEventListener('keydown', down);
      removeEventListener('keyup', up);
      removeEventListener('blur', away);
    };
  }, [key]);
  return held;
}

function isTyping(target: EventTarget | null): boolean {
  return target instanceof HTMLElement && target.matches('input, textarea, select, [contenteditable]');
}
