/** What every answer says to the browser about what it may do with it. */

/** No code, picture or font from elsewhere; the engine's own WebAssembly and inline styles of the page's components are let in. */
const CONTENT_SECURITY_POLICY = [
  "default-src 'self'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' blob: data:",
  "worker-src 'self' blob:",
  "object-src 'none'",
  "base-uri 'none'",
  "form-action 'self'",
  "frame-ancestors 'none'",
].join('; ');

/**
 * No cross-origin isolation (opener and embedder policies): nothing here shares memory between threads of the window, and for it the
 * browser takes the page over in another process, 20 ms later on two cores. A page elsewhere that opens the window finds no library
 * behind it: the cookie is SameSite=Strict (electron/shells/guard.ts), and no frame holds it.
 */
export const SECURITY_HEADERS: Readonly<Record<string, string>> = {
  'content-security-policy': CONTENT_SECURITY_POLICY,
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy': 'camera=(), microphone=(), geolocation=(), usb=(), serial=()',
};
