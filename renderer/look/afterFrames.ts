/** Does something so many frames later, at least 1. @returns how to call it off */
export function afterFrames(count: number, run: () => void): () => void {
  let asked = 0;
  const ask = (left: number): void => {
    asked = requestAnimationFrame(() => {
      if (left > 1) ask(left - 1);
      else run();
    });
  };
  ask(count);
  return () => cancelAnimationFrame(asked);
}
