/** Why a sheet, a layout or a reference cannot be used. One line: what was found, what was expected, what to do. */
export class SheetError extends Error {
  readonly code: string;

  constructor(code: string, message: string) {
    super(message);
    this.name = 'SheetError';
    this.code = code;
  }
}
