/** Names that a person gives stand beside figures, in tables and in files' names. */

/** Letters; longer ones leave no room for what they name (common practice, no source). */
export const NAME_MOST = 80;

/** Why a name would not do, in a line; null: it will. */
export function nameProblem(name: string): string | null {
  const letters = name.trim().length;
  return letters <= NAME_MOST ? null : `Found ${letters} letters; expected at most ${NAME_MOST}. Shorten it.`;
}
