/** What a part of the window bears while it has the focus for something that was taken away (frame/keepFocus.ts). */
export const HOLDS_FOCUS = 'data-holds-focus';

/** Nothing that a person chose has the focus: whoever knows a better place may take it. */
export function isFocusLost(): boolean {
  const { activeElement, body } = document;
  return activeElement === null || activeElement === body || activeElement.hasAttribute(HOLDS_FOCUS);
}
