/** What no page does without, by the faces that hold it (faces.css): letters, the Δ of differences, and arrows. */
const FACES = [
  ['1em "Source Sans 3 Latin"', 'a'],
  ['1em "Source Sans 3 Greek"', 'Δ'],
  ['1em "DejaVu Sans Signs"', '→'],
] as const;
/** Then letters are drawn in the system's face until ours comes. */
const WAIT_MS = 300;

/**
 * Fetches the faces before the first sign is drawn: a face that comes later has the whole page laid out once more, and until then
 * the engine asks the system for another, waiting for each answer.
 * @returns when all can be drawn
 */
export function fontsAhead(): Promise<unknown> {
  // One that does not come is replaced by the system's; nobody has to be told.
  const faces = FACES.map(([font, signs]) => document.fonts.load(font, signs).catch(() => {}));
  return Promise.race([Promise.all(faces), new Promise((resolve) => void setTimeout(resolve, WAIT_MS))]);
}
