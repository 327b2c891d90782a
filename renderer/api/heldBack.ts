/** What is held back while an edit before it is on its way. */
const heldBack = new Map<number, Set<() => void>>();

/** @param send Hands over what is held back to `edit`. */
export function holdBack(ink: number, send: () => void): void {
  heldBack.set(ink, (heldBack.get(ink) ?? new Set()).add(send));
}

/** What comes next is about all that was done, or is done after it: none of it may come after. */
export function sendHeldBack(ink: number): void {
  for (const send of heldBack.get(ink) ?? []) send();
}
