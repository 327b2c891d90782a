/** Through what the colours of an ink's plots came, in a sentence that goes with every plot that leaves the window. */
import { createContext } from 'react';

/** '' where plots show no ink's colours. */
export const ColourOrigin = createContext('');

/** What is asked of an ink's work. */
interface Origin {
  readonly ink: { readonly invented: boolean };
  readonly scans: readonly { readonly id: string; readonly colours: { readonly words: string } }[];
  readonly regions: readonly { readonly region: { readonly scan: string } }[];
}

/** Of the scans with something to measure, or of all where none has; what all share is said once. */
export function colourOrigin({ ink, scans, regions }: Origin): string {
  const measured = scans.filter(({ id }) => regions.some(({ region }) => region.scan === id));
  const ways = new Map<string, string[]>();
  for (const { id, colours } of measured.length > 0 ? measured : scans) {
    ways.set(colours.words, [...(ways.get(colours.words) ?? []), `“${id}”`]);
  }
  const sentences = [...ways].map(([words, of]) =>
    ways.size === 1 ? `${capital(words)}.` : `${of.join(', ')}: ${words}.`,
  );
  return [...sentences, ...(ink.invented ? ['An invented ink: nobody wrote these scans.'] : [])].join(' ');
}

function capital(words: string): string {
  return words.slice(0, 1).toUpperCase() + words.slice(1);
}
