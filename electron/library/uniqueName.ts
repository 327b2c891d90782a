/** A name that none of the taken ones has, by a number behind it: 'white', 'white-2'; a file's ending stays last. */
export function uniqueName(wanted: string, taken: Iterable<string>): string {
  // Some file systems tell no small letters from capitals.
  const used = new Set([...taken].map((name) => name.toLowerCase()));
  const [, stem, ending] = /^(.+?)(\.[^.]+)?$/.exec(wanted) ?? ['', wanted, ''];
  let name = wanted;
  for (let n = 2; used.has(name.toLowerCase()); n++) name = `${stem}-${n}${ending ?? ''}`;
  return name;
}
