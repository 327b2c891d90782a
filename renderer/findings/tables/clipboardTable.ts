/** What a copy takes along: a figure with its ± and unit, or a whole table as text and as CSV. */
import type { TracedFinding } from '../../../electron/backend/api.ts';
import { announce } from '../../look/announce.ts';
import { copyRows } from '../../look/copyRows.ts';
import { copiedFigure } from '../arrange/figureText.ts';
import type { FindingsTable } from '../arrange/table.ts';

/** Ctrl+C on a figure. Selected text is left to the browser. @returns whether it was ours. */
export function copyFigure(event: ClipboardEvent, findings: readonly TracedFinding[]): boolean {
  if (!event.clipboardData || !(document.getSelection()?.isCollapsed ?? true)) return false;
  const key = document.activeElement instanceof HTMLElement ? document.activeElement.dataset['finding'] : undefined;
  const traced = findings.find((f) => f.key === key);
  if (!traced) return false;
  const text = copiedFigure(traced.finding);
  event.clipboardData.setData('text/plain', text);
  event.preventDefault();
  announce(`Copied: ${text}`);
  return true;
}

/** With its notes, which the page shows on demand. */
export function copyTable(table: FindingsTable): void {
  copyRows(table.title, async () => (await import('../arrange/copiedTable.ts')).tableRows(table));
}
