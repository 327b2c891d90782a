/** SVG has no button of its own: what makes a mark one for the keyboard and for screen readers. */
export const MARK_BUTTON = { role: 'button', tabIndex: 0 } as const;
