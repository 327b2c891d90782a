/** A place as the address keeps it: `x,y,w`, centre and width of what is in view, px of the scan. */
import type { Size, View } from './viewPlace.ts';

export interface ViewAt {
  readonly x: number;
  readonly y: number;
  readonly width: number;
}

/** Null when the text is no place. */
export function readAt(text: string | null | undefined): ViewAt | null {
  const [x, y, width, ...more] = (text ?? '').split(',').map((part) => (part.trim() === '' ? NaN : Number(part)));
  if (more.length > 0 || ![x, y, width].every(Number.isFinite) || !(width > 0)) return null;
  return { x, y, width };
}

export function writeAt(at: ViewAt): string {
  return [at.x, at.y, at.width].map((value) => Math.round(value)).join(',');
}

export function atOf(view: View, size: Size): ViewAt {
  return { x: view.x, y: view.y, width: size.width / view.screenPerPx };
}

export function viewAt(at: ViewAt, size: Size): View {
  return { x: at.x, y: at.y, screenPerPx: size.width / at.width };
}
