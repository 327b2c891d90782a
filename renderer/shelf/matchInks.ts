/** Inks whose name or maker holds every word that was typed; accents and capitals do not count. */
export function matchInks<T extends { readonly name: string; readonly maker: string | null }>(
  inks: readonly T[],
  typed: string,
): readonly T[] {
  const words = plain(typed).split(/\s+/).filter(Boolean);
  return inks.filter(({ name, maker }) => {
    const text = plain(`${name} ${maker ?? ''}`);
    return words.every((word) => text.includes(word));
  });
}

function plain(text: string): string {
  return text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();
}
