import type { Work } from '../../electron/backend/api.ts';

/** Where the ink's own target lies, else the first that serves a scan alone. */
export function scanWithTarget({ target, scans }: Pick<Work, 'target' | 'scans'>): string | null {
  return target?.scan ?? scans.find((scan) => scan.target !== null)?.target?.scan ?? null;
}
