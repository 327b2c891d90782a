/** Inks of the study of what lies under them: lobes, real dyes, and pigments that hide the ground. */
import { pigmentsByName, realDyesByName } from './realDyes.ts';
import { drawAbsorption, drawInk, mixDyes, type SimulatedInk } from './simulatedColours.ts';

export const INK_KINDS = ['lobes', 'real dyes', 'pigments'] as const;
export type InkKind = (typeof INK_KINDS)[number];

export function drawOpacityInk(seed: number, random: () => number): { kind: InkKind; ink: SimulatedInk } {
  const kind = INK_KINDS[Math.floor(seed / 2) % 3];
  if (kind === 'lobes') return { kind, ink: drawInk(drawAbsorption(random), random) };
  if (kind === 'real dyes') return { kind, ink: drawInk(mixDyes([...realDyesByName().values()], random), random) };
  const pigments = [...pigmentsByName().values()];
  const one = pigments[Math.floor(random() * pigments.length)];
  const top = Math.max(...one.k);
  return { kind, ink: { k: one.k.map((v) => v / top), scatter: one.s.map((v) => v / top) } };
}
