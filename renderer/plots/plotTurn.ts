/** Plots are drawn one a frame, so that no frame has to style, lay out and paint several of them. */
import { onceLaidOut } from '../look/onceLaidOut.ts';
import { firstPlot } from './firstPlot.ts';
import type { InTurn } from './inTurn.ts';

let before: Promise<void> | null = null;

/** @returns how to call it off */
export function plotTurn(draw: () => InTurn<void>): () => void {
  let isOff = false;
  const turn = (): Promise<void> =>
    new Promise((resolve) => {
      const steps = draw();
      const step = (): void => {
        let isDone = true;
        try {
          isDone = isOff || steps.next().done === true;
        } finally {
          if (isDone) onceLaidOut(resolve);
          else setTimeout(step);
        }
      };
      if (isOff) resolve();
      else setTimeout(step);
    });
  before = (before ?? firstPlot()).then(turn);
  return () => {
    isOff = true;
  };
}
