/** How many of many parts are drawn by now: some more in each frame, so that no frame has to lay out all of them. */
import { startTransition, useEffect, useState } from 'react';
import { onceLaidOut } from './onceLaidOut.ts';

/** @param atOnce parts of one frame. @returns a count that grows to `total`; once there, it stays with it */
export function useInTurn(total: number, atOnce: number): number {
  const [drawn, setDrawn] = useState(atOnce);
  const waits = drawn < total;
  useEffect(() => {
    if (!waits) return;
    return onceLaidOut(() => {
      startTransition(() => setDrawn(drawn + atOnce));
    });
  }, [drawn, waits, atOnce]);
  return Math.min(drawn, total);
}
