/**
 * Does what asks for sizes after the page's next frame, in a task of its own: asked for earlier, the whole page would be laid
 * out on the spot, on top of all that drew it.
 * @param open @returns how to undo it, if it has to be. @returns how to call it off or undo it.
 */
export function onceLaidOut(open: () => (() => void) | void): () => void {
  let close: (() => void) | void;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const frame = requestAnimationFrame(() => {
    timer = setTimeout(() => {
      close = open();
    });
  });
  return () => {
    cancelAnimationFrame(frame);
    clearTimeout(timer);
    close?.();
  };
}
