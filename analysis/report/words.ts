/** Small matters of writing. */

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** '1, 2.5 and 5' */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;
}
