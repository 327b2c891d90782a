/** Hundreds of tiles without a task that the hand would notice. */
import { startTransition, useCallback, useEffect, useRef, useState } from 'react';

/** More than a large screen holds, */
const FIRST = 24;
/** and as many as are drawn within a frame or two on a slow machine. */
const STEP = 12;

/** How many of `all` tiles are drawn by now: what is seen at once comes first, the rest follows between frames, whether or not it is scrolled to. */
export function useDrawnSoFar(all: number): number {
  const [drawn, setDrawn] = useState(FIRST);
  useEffect(() => {
    if (drawn >= all) return;
    const frame = requestAnimationFrame(() => startTransition(() => setDrawn(drawn + STEP)));
    return () => cancelAnimationFrame(frame);
  }, [drawn, all]);
  return drawn;
}

/** One function for good that does what the latest drawing gave. */
export function useLatest<A extends readonly unknown[]>(run: (...given: A) => Promise<void>): (...given: A) => void {
  const latest = useRef(run);
  useEffect(() => {
    latest.current = run;
  });
  return useCallback((...given: A) => void latest.current(...given), []);
}
