/** Advice for a file of our own of another version. @param known as `wetline-sheet/1` @returns null: it is not of that kind at all */
export function newerFormat(found: string, known: string): string | null {
  const [name, version] = known.split('/');
  const [foundName, foundVersion = ''] = found.split('/');
  const isNewer = foundName === name && Number(foundVersion) > Number(version);
  return isNewer ? 'A newer Wetline wrote it: open it with that one.' : null;
}
