/** Why a job as a whole cannot be done (a target that is not found, for instance). A single bad region is a problem of that region, never this. */
export class JobError extends Error {
  readonly code: string;

  constructor(code: string, message: string) {
    // The one thing besides words that an error keeps when it is sent from a thread: pool.ts makes a JobError of it again.
    super(message, { cause: code });
    this.name = 'JobError';
    this.code = code;
  }
}
