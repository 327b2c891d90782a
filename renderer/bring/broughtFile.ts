/** A file that the person brought, with its place in the folder that it came in. */
export interface BroughtFile {
  /** With '/' between folders when a folder was brought: 'curlew/white.tif'. */
  readonly name: string;
  /** Null: the browser was not let at it. */
  readonly file: File | null;
}
