/** Signs that no page does without, by the faces that hold them: Latin letters, the Δ of differences, and arrows. */
const LETTERS = ['1em "Source Sans 3 Variable"', 'a'] as const;
const SIGNS = [
  ['1em "Source Sans 3 Variable"', 'Δ'],
  ['1em "DejaVu Sans"', '→'],
] as const;
/** Then letters are drawn in the system's face until ours comes. */
const WAIT_MS = 300;

/**
 * Fetches the faces before the first sign is drawn: a face that comes later has the whole page laid out once more, and until then
 * the engine asks the system for another, waiting for each answer.
 * @returns when letters can be drawn
 */
export function fontsAhead(): Promise<unknown> {
  // One that does not come is replaced by the system's; nobody has to be told.
  for (const [font, signs] of SIGNS) document.fonts.load(font, signs).catch(() => {});
  const letters = document.fonts.load(...LETTERS).catch(() => {});
  return Promise.race([letters, new Promise((resolve) => void setTimeout(resolve, WAIT_MS))]);
}
