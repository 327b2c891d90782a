/** A file as the store keeps it, and what its content says that it is. */
import type { ScanInfo } from '../scans/scanInfo.ts';

export type FileKind = 'scan' | 'sheet' | 'layout' | 'reference' | 'other';

export interface StoredFile {
  /** SHA-256, hexadecimal. */
  readonly hash: string;
  /** The name that it came with, without folders. */
  readonly name: string;
  readonly kind: FileKind;
  readonly bytes: number;
  /** In the store; of a file that was kept out, where it would be. */
  readonly path: string;
  /** Of a scan; `info.file` is `path`. */
  readonly info: ScanInfo | null;
  /** Why it was kept out: one line. Null: it is in the store. */
  readonly problem: string | null;
}

export interface AddedFile extends StoredFile {
  /** In words, when the store held these bytes before ('already here as “white.tif” of “…”'). */
  readonly already: string | null;
}
