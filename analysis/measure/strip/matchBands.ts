/** Which band of one strip is which band of another: the pairing of all bands that costs least. */

/**
 * @param cost cost of pairing row i with column j. @param alone cost of leaving one band without partner.
 * @returns for each row its column, or null.
 */
export function pairUp(cost: readonly (readonly number[])[], columns: number, alone: number): (number | null)[] {
  // Strips have a handful of bands: the best pairing of the first i rows for every set of taken columns is a small table.
  const full = 1 << columns;
  let best = new Map<number, { cost: number; pairs: (number | null)[] }>([[0, { cost: 0, pairs: [] }]]);
  for (const row of cost) {
    const next = new Map<number, { cost: number; pairs: (number | null)[] }>();
    const offer = (taken: number, total: number, pairs: (number | null)[]): void => {
      const known = next.get(taken);
      if (known === undefined || total < known.cost) next.set(taken, { cost: total, pairs });
    };
    for (const [taken, state] of best) {
      offer(taken, state.cost + alone, [...state.pairs, null]);
      for (let j = 0; j < columns; j++) {
        if (taken & (1 << j)) continue;
        offer(taken | (1 << j), state.cost + row[j], [...state.pairs, j]);
      }
    }
    best = next;
  }
  let chosen: (number | null)[] = cost.map(() => null);
  let least = Number.POSITIVE_INFINITY;
  for (let taken = 0; taken < full; taken++) {
    const state = best.get(taken);
    if (state === undefined) continue;
    const free = columns - state.pairs.filter((p) => p !== null).length;
    if (state.cost + free * alone < least) {
      least = state.cost + free * alone;
      chosen = state.pairs;
    }
  }
  return chosen;
}
