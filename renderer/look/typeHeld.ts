/**
 * Type grows with the window (base.css), and with it everything is styled and laid out anew. So a window that is given another
 * size keeps its type until that is more than about a px from what a window opened at this size would have, half a px in a small one.
 */
const LESS = 0.8;
const MORE = 1 / LESS;
/** CSS px: below, no room is to be given away, and type hardly shrinks any more. */
const LARGE = 1000;

/** @returns the width whose type a window of `width` shows; `held` is the one that it showed before, 0: none. CSS px */
export function typeWidth(held: number, width: number): number {
  const isNear = width >= held * LESS && width <= held * MORE;
  return width >= LARGE && isNear ? held : width;
}

export function holdType(): void {
  let held = 0;
  const take = (): void => {
    const next = typeWidth(held, window.innerWidth);
    if (next === held) return;
    held = next;
    const { style } = document.documentElement;
    // A small window follows by the style sheet alone: what a listener changes is laid out once more.
    if (held < LARGE) style.removeProperty('--type-width');
    else style.setProperty('--type-width', `${held}px`);
  };
  take();
  window.addEventListener('resize', take);
}
