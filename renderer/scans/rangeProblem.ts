/** What may stand in a field of numbers; left out: anything. */
export interface NumberRange {
  readonly least?: number | undefined;
  readonly most?: number | undefined;
  readonly unit?: string | undefined;
}

/** Why a number would not do, in a line; null: it will. */
export function rangeProblem(typed: number, { least = -Infinity, most = Infinity, unit }: NumberRange): string | null {
  if (typed >= least && typed <= most) return null;
  const allowed = typed < least ? `at least ${least}` : `at most ${most}`;
  return `Found ${typed}; expected ${allowed}${unit === undefined ? '' : ` ${unit}`}.`;
}
