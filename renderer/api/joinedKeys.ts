/** Keys of what is held by two names, `1/white`: an ink's number has no slash. */

export function inkAndName(key: string): [ink: number, name: string] {
  const [ink, name] = splitAt(key);
  return [Number(ink), name];
}

export function splitAt(key: string): [before: string, after: string] {
  const slash = key.indexOf('/');
  return [key.slice(0, slash), key.slice(slash + 1)];
}
