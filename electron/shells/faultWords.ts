import { LibraryError } from '../library/libraryError.ts';
import { ShellError } from './shellError.ts';

/** What went wrong as standard error says it: one line where a person can do something about it, else where in the program it was. */
export function faultWords(error: unknown): string {
  if (error instanceof LibraryError || error instanceof ShellError) return `wetline: ${error.message}\n`;
  return `wetline: unexpected: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`;
}
