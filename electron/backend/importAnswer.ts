/** Files that come in: requests and answers. */
import type { Work } from './api.ts';

/** POST /api/uploads?name=… with the file's bytes: into the store by content, whatever it is. */
export interface Upload {
  /** As sent: a relative path when a folder was dropped. */
  readonly name: string;
  readonly hash: string;
  readonly kind: 'scan' | 'sheet' | 'layout' | 'reference' | 'other';
  /** Why it is no use, when it is none. */
  readonly problem: string | null;
  /** In words, when the store already held these bytes ('already here as “white.tif” of “…”'). */
  readonly already: string | null;
}

/** POST /api/inks/:ink/import adds scans to an ink. */
export interface ImportRequest {
  readonly uploads: readonly {
    readonly name: string;
    readonly hash: string;
    /** Sent before, without an answer: that it is here already is no problem then. */
    readonly isAgain?: boolean;
  }[];
}
/** POST /api/sheets makes an ink from a sheet and its files. */
export interface SheetRequest {
  readonly uploads: readonly { readonly name: string; readonly hash: string }[];
  /** As an edit's. */
  readonly request?: string;
}
export interface ImportAnswer {
  readonly work: Work;
  /** Ids of the scans that were added. */
  readonly added: readonly string[];
  /** One line for each file that was not, and why. */
  readonly problems: readonly string[];
}
/** In the desktop shell files come by their paths: POST /api/paths { paths } answers `Upload[]`. */
export interface PathsRequest {
  readonly paths: readonly string[];
}
