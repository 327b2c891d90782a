/** A line across a strip at one of its millimetres: dragged by a pointer, moved by arrows. */
import { type KeyboardEvent, type PointerEvent, useEffect, useRef } from 'react';
import { Words } from '../reading/Words.tsx';
import type { ShownRun } from './useRunView.ts';

export interface RunHandleProps {
  /** 'Origin', 'Front', 'Place of the new band'. */
  readonly name: string;
  /** On its flag, short: 'origin 87.70 mm'. */
  readonly flag: string;
  /** What screen readers hear for its place. */
  readonly spoken: string;
  readonly mm: number;
  /** From where to where it may go, mm. */
  readonly room: readonly [number, number];
  readonly shown: ShownRun;
  /** Up or to the left: the millimetres fall towards the right. */
  readonly falls: boolean;
  readonly kind: 'given' | 'found' | 'new';
  /** Its flag stands on the left of the line, where it would leave the picture. */
  readonly flagLeft: boolean;
  readonly onMove: (mm: number) => void;
  /** The hand let go, or an arrow was pressed. */
  readonly onDone: (mm: number) => void;
  /** The drag came to nothing. */
  readonly onLetGo?: () => void;
  readonly onDelete?: () => void;
  readonly onEnter?: () => void;
}

/** A range input has no place across a picture: what makes a line one for the keyboard and for screen readers. */
const SLIDER = { role: 'slider', tabIndex: 0 } as const;
const STEP_MM = 0.1;
const LARGE_MM = 1;
const FINE_MM = 0.02;

export function RunHandle(props: RunHandleProps) {
  const { name, flag, spoken, mm, room, shown, falls, kind, flagLeft, onMove, onDone } = props;
  const grabbed = useRef<{ readonly x: number; readonly mm: number } | null>(null);
  const line = useRef<HTMLDivElement>(null);
  // A line that was just asked for is moved by the next arrows.
  useEffect(() => {
    if (kind === 'new') line.current?.focus();
  }, [kind]);
  const x = shown.toX(mm);
  const kept = (place: number): number => Math.round(1000 * Math.min(room[1], Math.max(room[0], place))) / 1000;
  const dragged = (event: PointerEvent): number | null => {
    const from = grabbed.current;
    if (!from) return null;
    return kept(from.mm + ((falls ? -1 : 1) * (event.clientX - from.x)) / shown.pxPerMm);
  };
  const press = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey) return;
    if (event.key === 'Escape' && grabbed.current !== null) {
      grabbed.current = null;
      props.onLetGo?.();
      return;
    }
    const way = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
    if (way !== undefined) {
      event.preventDefault();
      const step = event.shiftKey ? LARGE_MM : event.altKey ? FINE_MM : STEP_MM;
      onDone(kept(mm + (falls ? -way : way) * step));
    } else if (props.onDelete && (event.key === 'Delete' || event.key === 'Backspace')) {
      event.preventDefault();
      props.onDelete();
    } else if (props.onEnter && event.key === 'Enter') {
      event.preventDefault();
      props.onEnter();
    }
  };
  const hands = {
    onKeyDown: press,
    onPointerDown: (event: PointerEvent) => {
      if (event.button !== 0) return;
      event.stopPropagation();
      event.currentTarget.setPointerCapture(event.pointerId);
      grabbed.current = { x: event.clientX, mm };
    },
    onPointerMove: (event: PointerEvent) => {
      const place = dragged(event);
      if (place !== null) onMove(place);
    },
    onPointerUp: (event: PointerEvent) => {
      const place = dragged(event);
      const from = grabbed.current;
      grabbed.current = null;
      // A mere press chooses it, and changes nothing.
      if (place !== null && from !== null && Math.abs(event.clientX - from.x) > 1) onDone(place);
      else props.onLetGo?.();
    },
    onPointerCancel: () => {
      grabbed.current = null;
      props.onLetGo?.();
    },
  };
  return (
    <div
      ref={line}
      className="run-handle"
      data-kind={kind}
      data-flag={flagLeft ? 'left' : 'right'}
      {...SLIDER}
      aria-label={name}
      aria-valuemin={room[0]}
      aria-valuemax={room[1]}
      aria-valuenow={Math.round(100 * mm) / 100}
      aria-valuetext={spoken}
      aria-orientation="horizontal"
      style={{ left: `${x}px` }}
      {...hands}
    >
      <span className="run-flag" aria-hidden="true">
        <Words>{flag}</Words>
      </span>
    </div>
  );
}
