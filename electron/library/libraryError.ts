/** Why the library will not do something. One line: what was found, what was expected, what to do. */
export class LibraryError extends Error {
  readonly code: string;
  /** Of 'library-in-use': where the window of the other program is, when it has said so. */
  readonly url: string | null;

  constructor(code: string, message: string, url: string | null = null) {
    super(message);
    this.name = 'LibraryError';
    this.code = code;
    this.url = url;
  }
}

/** What stopped the file system, in words; anything else stays as it is. @param what For instance 'the library in /home/me/ink'. */
export function storageFault(error: unknown, what: string): unknown {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  if (code === 'ENOSPC' || code === 'EDQUOT') {
    return new LibraryError(
      'disk-full',
      `${what}: the disk is full; expected room for it. Free some space and do it again.`,
    );
  }
  if (code === 'EACCES' || code === 'EPERM' || code === 'EROFS') {
    return new LibraryError(
      'library-denied',
      `${what}: writing there is not permitted; expected a folder of your own. Give yourself the right, or choose another folder.`,
    );
  }
  if (code === 'ENOTDIR' || code === 'EEXIST') {
    return new LibraryError(
      'library-no-folder',
      `${what}: a file stands where a folder should be; expected a folder or nothing. Move the file or choose another folder.`,
    );
  }
  return error;
}
