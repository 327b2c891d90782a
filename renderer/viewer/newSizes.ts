/** Viewers of another size are laid out and drawn within the very frame that shows it, all of them together. */
import { flushSync } from 'react-dom';

export interface Sized {
  /** Takes the size that the element has by now. */
  readonly takeSize: () => void;
  /** All have taken theirs: what follows from it, for one viewer or for several that are linked. */
  readonly settle: () => void;
  /** @param turn 0 for the first of them: what is left for later frames may be left for one frame each. */
  readonly draw: (turn: number) => void;
}

const watched = new Map<Element, Sized>();

/** The engine calls it after layout and before it paints. */
let observer: ResizeObserver | null = null;

function sized(entries: readonly ResizeObserverEntry[]): void {
  const views = entries.flatMap(({ target }) => watched.get(target) ?? []);
  // Rulers and marks are drawn with it, or they lay over the scan as it was.
  flushSync(() => {
    for (const view of views) view.takeSize();
    for (const view of views) view.settle();
  });
  for (const [turn, view] of views.entries()) view.draw(turn);
}

/** @returns the way to end it */
export function watchSize(element: Element, view: Sized): () => void {
  observer ??= new ResizeObserver(sized);
  watched.set(element, view);
  observer.observe(element);
  return () => {
    watched.delete(element);
    observer?.unobserve(element);
  };
}
