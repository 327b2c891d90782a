/** The grey around the scans: a person's choice, kept for the next time. */

export const SURROUNDS = ['dark', 'mid', 'light'] as const;
export type Surround = (typeof SURROUNDS)[number];

const NAME = 'wetline.surround';

/** Mid, about L* 50 as ISO 3664 asks, unless the person chose otherwise. */
export function rememberedSurround(): Surround {
  const stored = read();
  // The window waits for either: each is kept by another process of the browser.
  return surroundIn(stored, stored === null ? document.cookie : '');
}

/** @param stored what the window's own store holds; a start of the browser shell has another port and so an empty store. */
export function surroundIn(stored: string | null, cookies: string): Surround {
  const cookie = cookies
    .split('; ')
    .find((c) => c.startsWith(`${NAME}=`))
    ?.slice(NAME.length + 1);
  return SURROUNDS.find((s) => s === (stored ?? cookie)) ?? 'mid';
}

export function applySurround(surround: Surround): void {
  document.documentElement.dataset.surround = surround;
}

/** The one that is shown. */
export function shownSurround(): Surround {
  return SURROUNDS.find((s) => s === document.documentElement.dataset.surround) ?? 'mid';
}

/** Both places: cookies outlive a change of port, the store works where a shell's own scheme has no cookies. */
export function rememberSurround(surround: Surround): void {
  document.cookie = `${NAME}=${surround}; max-age=31536000; samesite=strict; path=/`;
  try {
    window.localStorage.setItem(NAME, surround);
  } catch {
    // Storage may be switched off; the cookie does then.
  }
}

function read(): string | null {
  try {
    return window.localStorage.getItem(NAME);
  } catch {
    return null;
  }
}
