import type { Quantity } from '../quantity.ts';

/** What a finding is called in addresses and links, stable between runs: `shading(ef)`, `bandColour(fresh)#2`. */
export function findingKey({ quantity, subject }: Pick<Quantity, 'quantity' | 'subject'>): string {
  const band = subject.band === undefined ? '' : `#${subject.band}`;
  const on = subject.on === undefined ? '' : `@${subject.on}`;
  return `${quantity}(${subject.regions.join(',')})${band}${on}`;
}

const KEY = /^(.*?\()(.*?)(\)(?:#\d+)?(?:@.*)?)$/s;

/** The key that the finding bears once a region of it is renamed; text that is no key stays. */
export function renamedKey(key: string, from: string, to: string): string {
  const parts = KEY.exec(key);
  if (!parts) return key;
  const regions = `,${parts[2]},`.replace(`,${from},`, () => `,${to},`);
  return `${parts[1]}${regions.slice(1, -1)}${parts[3]}`;
}

/** The regions in a key, as far as commas tell them apart. */
export function regionsOfKey(key: string): string[] {
  const inside = KEY.exec(key)?.[2];
  return inside === undefined ? [] : [...new Set([inside, ...inside.split(',')])];
}
