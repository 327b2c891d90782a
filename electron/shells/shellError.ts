/** Why the window cannot be opened. One line: what was found, what was expected, what to do. */
export class ShellError extends Error {
  readonly code: string;

  constructor(code: string, message: string) {
    super(message);
    this.name = 'ShellError';
    this.code = code;
  }
}
