/** Why a file cannot be measured as a scan. The message is one line: what was found, what was expected, what to do. */
export type ScanErrorCode =
  | 'scan-missing'
  | 'scan-unreadable'
  | 'scan-cut-short'
  | 'scan-not-an-image'
  | 'scan-not-colour'
  | 'scan-compression'
  | 'scan-depth'
  | 'scan-not-square'
  | 'scan-preview'
  | 'scan-outside';

/** What was learnt about the file before it was refused. */
export interface ScanFacts {
  readonly widthPx?: number;
  readonly heightPx?: number;
  readonly bits?: number;
  readonly channels?: number;
  readonly dpi?: number | null;
  readonly icc?: string | null;
}

export class ScanError extends Error {
  readonly code: ScanErrorCode;
  readonly facts: ScanFacts;

  constructor(code: ScanErrorCode, message: string, facts: ScanFacts = {}) {
    super(message);
    this.name = 'ScanError';
    this.code = code;
    this.facts = facts;
  }
}
