/** Why a target cannot serve: what was found, what was expected, what to do. */

export type CalibrationErrorCode =
  | 'patches-unknown'
  | 'too-few-patches'
  | 'too-few-greys'
  | 'patches-outside-scan'
  | 'patches-too-small'
  | 'no-range'
  /** Scanned in grey, though saved with three channels. */
  | 'no-colour'
  /** The reference belongs to another target, or its values to other patches. */
  | 'other-target'
  /** Light where it is dark. */
  | 'negative'
  /** The patches are not even inside: another layout, or points beside the target. */
  | 'other-layout'
  /** The four points were given in another order than the layout's. */
  | 'points-order'
  | 'covered'
  /** The sheet scanned for the light is written on, clipped, or none. */
  | 'white-not-bare'
  | 'white-clipped'
  /** Of a card that is to be taught. */
  | 'card-clipped'
  | 'card-covered';

export class CalibrationError extends Error {
  readonly code: CalibrationErrorCode;

  constructor(code: CalibrationErrorCode, message: string) {
    super(message);
    this.name = 'CalibrationError';
    this.code = code;
  }
}
