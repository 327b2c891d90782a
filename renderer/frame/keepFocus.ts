/**
 * Whoever works by keys never stands nowhere: when what had the focus is taken away (a region removed, a page left), the part of the window
 * that it lay in has it, and Tab goes on from there.
 */

import { HOLDS_FOCUS } from '../look/focusLost.ts';

/** Parts that a person knows as such; what lies in none of them lies in the page. */
const PARTS = 'main, section, aside, nav, header, form, article, fieldset, li, [role="region"], [tabindex]';
/** What a key or a click brings about is drawn by then, also where the page is another; the later ones are for a machine that is busy measuring. */
const LOOK_AFTER_MS = [60, 400, 1500, 4000];

let way: readonly Element[] = [];

/** @returns ends it */
export function keepFocus(): () => void {
  const remember = ({ target }: FocusEvent): void => {
    way = target instanceof Element ? waysUp(target) : [];
  };
  const look = (): void => {
    for (const ms of LOOK_AFTER_MS) setTimeout(takeIfLost, ms);
  };
  document.addEventListener('focusin', remember);
  window.addEventListener('keydown', look, true);
  document.addEventListener('click', look, true);
  return () => {
    document.removeEventListener('focusin', remember);
    window.removeEventListener('keydown', look, true);
    document.removeEventListener('click', look, true);
  };
}

function waysUp(from: Element): Element[] {
  const up: Element[] = [];
  for (let at: Element | null = from; at !== null; at = at.parentElement) up.push(at);
  return up;
}

function takeIfLost(): void {
  const [had] = way;
  const isLost = document.activeElement === null || document.activeElement === document.body;
  // Given up by a click beside it, it is still there.
  if (!isLost || had === undefined || had.isConnected) return;
  const part = way.find((at): at is HTMLElement => at instanceof HTMLElement && at.isConnected && at.matches(PARTS));
  if (!part) return;
  if (!part.hasAttribute('tabindex')) part.tabIndex = -1;
  part.setAttribute(HOLDS_FOCUS, '');
  part.addEventListener('blur', () => part.removeAttribute(HOLDS_FOCUS), { once: true });
  part.focus({ preventScroll: true });
}
