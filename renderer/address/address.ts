/**
 * The window's address: `#/shelf`, `#/ink/1/scans?scan=white&region=ef&at=1200,800,400`, `#/ink/1/findings?finding=…`,
 * `#/ink/1/calibration?scan=target&patch=A1` (a part of the Scans stage), `#/ink/1/writing?cell=M|yellow` and `#/ink/1/papers?on=ivory&pen=…` (of the Findings stage),
 * `#/ink/1/strips?strip=fresh&band=2` (of the Findings stage, too), `#/dyes` (of the shelf).
 */

export type PageName = 'shelf' | 'dyes' | InkPageName;
/** Pages of one ink. */
export type InkPageName = (typeof INK_PAGES)[number];
const INK_PAGES = ['scans', 'findings', 'writing', 'papers', 'strips', 'calibration'] as const;

export interface Address {
  readonly page: PageName;
  /** Null on the shelf, where no ink is open. */
  readonly ink: number | null;
  readonly query: Readonly<Record<string, string | undefined>>;
}

export const SHELF: Address = { page: 'shelf', ink: null, query: {} };
/** The dyes of all inks. */
export const DYES: Address = { page: 'dyes', ink: null, query: {} };

/**
 * What cannot be understood leads to the shelf, which says so (`lost`: the path): an old or mistyped address should still open the window.
 */
export function parseAddress(hash: string): Address {
  const [path, search = ''] = splitOnce(hash.replace(/^#/, ''), '?');
  const query = Object.fromEntries(new URLSearchParams(search));
  const match = /^\/ink\/([1-9]\d{0,14})\/([a-z]+)\/?$/.exec(path);
  const page = INK_PAGES.find((name) => name === match?.[2]);
  if (!match || !page) {
    const bare = path.replace(/\/$/, '');
    if (bare === '/dyes') return { ...DYES, query };
    if (bare === '/shelf') return { ...SHELF, query };
    return bare === '' ? SHELF : { ...SHELF, query: { lost: path } };
  }
  return { page, ink: Number(match[1]), query };
}

/** The hash that `parseAddress` reads. Commas, brackets and colons stay readable: people copy addresses into notes. */
export function formatAddress(address: Address): string {
  const ofInk = address.ink === null ? '/shelf' : `/ink/${address.ink}/${address.page}`;
  const path = address.page === 'dyes' || address.page === 'shelf' ? `/${address.page}` : ofInk;
  const search = new URLSearchParams();
  for (const [name, value] of Object.entries(address.query)) if (value !== undefined) search.set(name, value);
  const text = search.toString().replace(/%2C/g, ',').replace(/%3A/g, ':').replace(/%28/g, '(').replace(/%29/g, ')');
  return `#${path}${text && `?${text}`}`;
}

function splitOnce(text: string, mark: string): [string, string?] {
  const at = text.indexOf(mark);
  return at < 0 ? [text] : [text.slice(0, at), text.slice(at + 1)];
}
