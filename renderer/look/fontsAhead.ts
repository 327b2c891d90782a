/** Signs that no page does without, by the faces that hold them: Latin letters, the Δ of differences, and arrows. */
const SIGNS = [
  ['1em "Source Sans 3 Variable"', 'aΔ'],
  ['1em "DejaVu Sans"', '→'],
] as const;

/** Fetches the faces before the first sign is drawn: a face that comes later has the whole page laid out once more. */
export function fontsAhead(): void {
  // One that does not come is replaced by the system's; nobody has to be told.
  for (const [font, signs] of SIGNS) document.fonts.load(font, signs).catch(() => {});
}
