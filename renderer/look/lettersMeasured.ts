/**
 * The engine makes a face ready for each weight and size, and measures each of its letters, when the first line of it is laid out:
 * two thirds of the first page's layout. Here each has a task of its own, ahead of all pages; nothing of it is seen.
 */
import { ownTask } from '../api/ownTask.ts';

/** The two that hold them all (faces.css): whatever else --face names would be fetched, and the system asked. */
const FACE = '"Source Sans 3 Latin", "Source Sans 3 Greek"';
/** What pages are mostly written in: weights and sizes of tokens.css, and the plots' own. */
const WRITTEN = {
  400: ['1rem', '0.8125rem', '1.1875rem', '13px'],
  600: ['1rem', '0.8125rem', '1.1875rem'],
} as const;
const LETTERS = 'abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 .,:;()/·…’“”±−×Δ';

/** Once the faces are there. */
export async function measureLetters(): Promise<void> {
  const pen = document.createElement('canvas').getContext('2d');
  if (!pen) return;
  for (const [weight, sizes] of Object.entries(WRITTEN)) {
    for (const size of sizes) {
      await ownTask();
      const font = `${weight} ${size} ${FACE}`;
      // They did not come in time.
      if (!document.fonts.check(font, LETTERS)) return;
      pen.font = font;
      pen.measureText(LETTERS);
    }
  }
}
