/**
 * Labels along a line: each as near to its place as it can be without touching its neighbours.
 * @param wanted middles, ascending. @param size of a label along the line. @returns middles within from..to, or null when they
 * do not fit.
 */
export function spreadOut(wanted: readonly number[], size: number, from: number, to: number): readonly number[] | null {
  if (wanted.length * size > to - from) return null;
  // Runs of labels that touch share one shift: the mean of what their members want.
  const runs: { members: number; sum: number }[] = [];
  const start = (run: { members: number; sum: number }): number =>
    Math.max(from, Math.min(to - run.members * size, run.sum / run.members));
  for (const middle of wanted) {
    runs.push({ members: 1, sum: middle - size / 2 });
    while (runs.length > 1) {
      const [before, last] = runs.slice(-2);
      if (start(before) + before.members * size <= start(last)) break;
      runs.splice(-2, 2, {
        members: before.members + last.members,
        sum: before.sum + last.sum - last.members * before.members * size,
      });
    }
  }
  return runs.flatMap((run) => Array.from({ length: run.members }, (_, k) => start(run) + (k + 0.5) * size));
}
