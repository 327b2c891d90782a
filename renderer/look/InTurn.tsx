/** A part of a page that comes some frames after what is around it, and draws nothing but itself then. */
import type { ReactNode } from 'react';
import { useInTurn } from './useInTurn.ts';

export interface InTurnProps {
  /** 1: the frame after the first. */
  readonly turn: number;
  readonly children: ReactNode;
}

export function InTurn({ turn, children }: InTurnProps) {
  return useInTurn(turn + 1, 1) > turn ? children : null;
}
