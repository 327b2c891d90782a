/**
 * Where an ink's tables stood when their page was left, so that coming back shows what was seen: by the first figure in sight, since
 * tables out of sight have no height of their own yet.
 */
interface Place {
  readonly finding: string;
  /** Of that figure, below the pane's top, CSS px. */
  readonly top: number;
  /** What was chosen then: another choice leads elsewhere. */
  readonly chosen: string | null;
}

const places = new Map<number, Place>();

/** A hand that scrolls rests for so long before its place is kept, ms. */
const RESTS_MS = 150;
const FRAMES = 6;
/** Probed below the pane's head, CSS px. */
const PROBED = { left: 120, from: 100, step: 12, rows: 40 };

/** Keeps the place whenever the pane has come to rest, and when it is left. @returns a function that ends it, while the pane still stands */
export function keepPlace(ink: number, pane: HTMLElement, chosen: string | null): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const keep = (): void => {
    timer = undefined;
    const figure = firstInSight(pane);
    const finding = figure?.dataset['finding'];
    if (figure && finding !== undefined) places.set(ink, { finding, top: topIn(pane, figure), chosen });
  };
  const rest = (): void => {
    clearTimeout(timer);
    timer = setTimeout(keep, RESTS_MS);
  };
  pane.addEventListener('scroll', rest, { passive: true });
  return () => {
    clearTimeout(timer);
    // Left before the hand had rested.
    if (timer !== undefined) keep();
    pane.removeEventListener('scroll', rest);
  };
}

/** @returns false when nothing is kept for this choice, or the figure is no longer there */
export function takePlace(ink: number, pane: HTMLElement, chosen: string | null): boolean {
  const place = places.get(ink);
  if (!place || place.chosen !== chosen) return false;
  const figure = pane.querySelector<HTMLElement>(`[data-finding="${CSS.escape(place.finding)}"]`);
  if (!figure) return false;
  align(pane, figure, place.top, FRAMES);
  return true;
}

/** Tables that come into sight get their height only then, and push the figure away: once more in the next frames. */
function align(pane: HTMLElement, figure: HTMLElement, top: number, frames: number): void {
  pane.scrollTop += topIn(pane, figure) - top;
  if (frames > 0) requestAnimationFrame(() => align(pane, figure, top, frames - 1));
}

function firstInSight(pane: HTMLElement): HTMLElement | null {
  const { left, top } = pane.getBoundingClientRect();
  for (let row = 0; row < PROBED.rows; row++) {
    const found = document.elementFromPoint(left + PROBED.left, top + PROBED.from + row * PROBED.step);
    const figure = found?.closest('tr')?.querySelector<HTMLElement>('[data-finding]');
    if (figure && pane.contains(figure)) return figure;
  }
  return null;
}

function topIn(pane: HTMLElement, figure: HTMLElement): number {
  return figure.getBoundingClientRect().top - pane.getBoundingClientRect().top;
}
