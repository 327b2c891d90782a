/** Runs the command line inside the test and keeps what it says. */
import { main } from '../../electron/cli.ts';

export interface Heard {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** @param watched whether a person watches, as on a terminal. */
export async function listen(argv: readonly string[], watched = false): Promise<Heard> {
  let out = '';
  let err = '';
  const code = await main(argv, { out: (text) => (out += text), err: (text) => (err += text), watched });
  return { code, out, err };
}
