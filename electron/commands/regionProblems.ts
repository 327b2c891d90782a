/** What could not be measured, one line a cause: twelve regions of one missing scan are one problem. */
import type { RegionProblem } from '../sheet/loadedSheet.ts';

export function problemLines(problems: readonly RegionProblem[]): string[] {
  const regionsOf = new Map<string, string[]>();
  for (const { region, message } of problems) {
    const regions = regionsOf.get(message) ?? [];
    if (!regions.includes(region)) regions.push(region);
    regionsOf.set(message, regions);
  }
  return [...regionsOf].map(([message, regions]) => {
    const named = regions
      .slice(0, 6)
      .map((id) => `"${id}"`)
      .join(', ');
    const more = regions.length > 6 ? ` and ${regions.length - 6} more` : '';
    return `region${regions.length > 1 ? 's' : ''} ${named}${more}: ${message}`;
  });
}
