/** Invented names: a maker that does not exist, inks called after the shore. */
import { stream } from './random.ts';

export const MAKER = 'Marram & Tide';

const SHORE = [
  'Saltmarsh',
  'Curlew',
  'Driftwood',
  'Samphire',
  'Kelp',
  'Whelk',
  'Plover',
  'Estuary',
  'Dune',
  'Lugger',
] as const;
const HUES: Record<string, string> = {
  'blue-black': 'Midnight',
  teal: 'Teal',
  purple: 'Heather',
  green: 'Green',
  brown: 'Umber',
  burgundy: 'Bramble',
  rust: 'Rust',
  'dusk blue': 'Dusk',
  grey: 'Slate',
  yellow: 'Gorse',
};

export function inkName(seed: number, kind: string): string {
  return `${stream(seed, 'ink/name').pick(SHORE)} ${HUES[kind] ?? 'Ink'}`;
}
