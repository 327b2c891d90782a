/** What is in view of a strip, and how wheel, drag and keys change it. */
import { type PointerEvent, type RefObject, useEffect, useLayoutEffect, useRef, useState } from 'react';
import { panned, placing, readingOff, type RunAxis, type RunView, turned, wholeRun, zoomed } from './runAxis.ts';

export interface ShownRun {
  readonly view: RunView;
  /** mm of the box → px of the stack, and back. */
  readonly toX: (boxMm: number) => number;
  readonly toMm: (x: number) => number;
  /** CSS px of a millimetre. */
  readonly pxPerMm: number;
  /** @param aboutMm of the box; absent: the middle of what is in view. */
  zoom(factor: number, aboutMm?: number): void;
  /** @param share of what is in view, positive along the run. */
  pan(share: number): void;
  whole(): void;
  readonly isWhole: boolean;
}

/** One notch of a wheel. */
const NOTCH = 1.2;
const CLICK_PX = 4;

export function useRunView(axis: RunAxis, left: number, right: number): ShownRun {
  const [view, setView] = useState<RunView>(() => wholeRun(axis));
  const known = useRef(axis.lengthMm);
  useLayoutEffect(() => {
    if (known.current === axis.lengthMm) return;
    known.current = axis.lengthMm;
    setView(wholeRun(axis));
  }, [axis]);
  return {
    view,
    toX: placing(axis, view, left, right),
    toMm: readingOff(axis, view, left, right),
    pxPerMm: (right - left) / (view.to - view.from),
    zoom: (factor, aboutMm) =>
      setView((now) =>
        zoomed(axis, now, factor, aboutMm === undefined ? (now.from + now.to) / 2 : turned(axis, aboutMm)),
      ),
    pan: (share) => setView((now) => panned(axis, now, share * (now.to - now.from))),
    whole: () => setView(wholeRun(axis)),
    isWhole: view.to - view.from > axis.lengthMm - 1e-6,
  };
}

/** Wheel zooms about the pointer; React's own listener could not keep the page from scrolling. */
export function useWheelZoom(place: RefObject<HTMLElement | null>, shown: ShownRun): void {
  const latest = useRef(shown);
  useEffect(() => {
    latest.current = shown;
  });
  useEffect(() => {
    const element = place.current;
    if (!element) return;
    const turn = (event: WheelEvent): void => {
      event.preventDefault();
      const x = event.clientX - element.getBoundingClientRect().left;
      if (Math.abs(event.deltaX) > Math.abs(event.deltaY)) latest.current.pan(event.deltaX / element.clientWidth);
      else latest.current.zoom(event.deltaY < 0 ? NOTCH : 1 / NOTCH, latest.current.toMm(x));
    };
    element.addEventListener('wheel', turn, { passive: false });
    return () => {
      element.removeEventListener('wheel', turn);
    };
  }, [place]);
}

/** A drag moves the view; a press without one is a click at a place. */
export function usePanOrClick(shown: ShownRun, onClick: (boxMm: number, event: PointerEvent) => void) {
  const pressed = useRef<{ x: number; moved: boolean } | null>(null);
  return {
    onPointerDown: (event: PointerEvent) => {
      if (event.button !== 0) return;
      event.currentTarget.setPointerCapture(event.pointerId);
      pressed.current = { x: event.clientX, moved: false };
    },
    onPointerMove: (event: PointerEvent) => {
      const press = pressed.current;
      if (!press) return;
      const by = event.clientX - press.x;
      if (!press.moved && Math.abs(by) < CLICK_PX) return;
      pressed.current = { x: event.clientX, moved: true };
      shown.pan(-by / Math.max(1, event.currentTarget.clientWidth));
    },
    onPointerUp: (event: PointerEvent) => {
      const press = pressed.current;
      pressed.current = null;
      if (!press || press.moved) return;
      onClick(shown.toMm(event.clientX - event.currentTarget.getBoundingClientRect().left), event);
    },
    onPointerCancel: () => {
      pressed.current = null;
    },
  };
}
