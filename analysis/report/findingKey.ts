import type { Quantity } from '../quantity.ts';

/** What a finding is called in addresses and links, stable between runs: `shading(ef)`, `bandColour(fresh)#2`. */
export function findingKey({ quantity, subject }: Pick<Quantity, 'quantity' | 'subject'>): string {
  const band = subject.band === undefined ? '' : `#${subject.band}`;
  const on = subject.on === undefined ? '' : `@${subject.on}`;
  return `${quantity}(${subject.regions.join(',')})${band}${on}`;
}
