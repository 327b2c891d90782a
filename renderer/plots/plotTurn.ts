/** Plots are drawn one a frame, so that no frame has to style, lay out and paint several of them. */
import { onceLaidOut } from '../look/onceLaidOut.ts';
import { firstPlot } from './firstPlot.ts';

let before: Promise<void> | null = null;

/** @returns how to call it off */
export function plotTurn(draw: () => void): () => void {
  let isOff = false;
  const turn = (): Promise<void> =>
    new Promise((resolve) => {
      if (isOff) {
        resolve();
        return;
      }
      setTimeout(() => {
        try {
          if (!isOff) draw();
        } finally {
          onceLaidOut(resolve);
        }
      });
    });
  before = (before ?? firstPlot()).then(turn);
  return () => {
    isOff = true;
  };
}
