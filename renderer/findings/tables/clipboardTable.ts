/** What a copy takes along: a figure with its ± and unit, or a whole table as text and as CSV. */
import type { TracedFinding } from '../../../electron/backend/api.ts';
import { announce } from '../../look/announce.ts';
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

/**
 * For spreadsheets as tabs, for programs that ask for it as CSV. What writes it comes when it is asked for: every page with figures would
 * run it as it opens.
 */
export function copyTable(table: FindingsTable): void {
  import('../arrange/copiedTable.ts').then(
    ({ tableTsv, tableCsv }) => {
      const isCopied = copyBoth({ tabs: tableTsv(table), csv: tableCsv(table) });
      announce(isCopied ? `Copied the table “${table.title}”.` : `${NOT_OPEN} Save as CSV instead.`);
    },
    () => announce('What copies tables did not come: see that Wetline runs, then load the window again.'),
  );
}

const NOT_OPEN = 'The clipboard is not open to this window.';

/** The copy command needs no permission and takes both. @returns whether it did */
function copyBoth({ tabs, csv }: { readonly tabs: string; readonly csv: string }): boolean {
  const fill = (event: ClipboardEvent): void => {
    event.clipboardData?.setData('text/plain', tabs);
    event.clipboardData?.setData('text/csv', csv);
    event.preventDefault();
    event.stopImmediatePropagation();
  };
  document.addEventListener('copy', fill, { capture: true, once: true });
  const copied = document.execCommand('copy');
  document.removeEventListener('copy', fill, { capture: true });
  return copied;
}
