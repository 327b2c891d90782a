/** Why a target cannot serve: what was found, what was expected, what to do. */

export type CalibrationErrorCode =
  'patches-unknown' | 'too-few-patches' | 'too-few-greys' | 'patches-outside-scan' | 'patches-too-small' | 'no-range';

export class CalibrationError extends Error {
  readonly code: CalibrationErrorCode;

  constructor(code: CalibrationErrorCode, message: string) {
    super(message);
    this.name = 'CalibrationError';
    this.code = code;
  }
}
