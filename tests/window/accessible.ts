/** Rules of WCAG 2.2 AA that a machine can check, on the page as it stands. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type axe from 'axe-core';
import type { Page } from 'playwright-core';

declare global {
  interface Window {
    axe?: typeof axe;
  }
}

const SOURCE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** One line a violation: what it is and where; empty when there is none. The window has no frames. */
export async function violations(page: Page): Promise<string[]> {
  // Once a document: to read it takes the processor longer than to check a page.
  if (!(await page.evaluate(() => window.axe !== undefined))) await page.evaluate(SOURCE);
  return page.evaluate(async (tags) => {
    if (!window.axe) throw new Error('axe-core is not in the page');
    // In the page itself, and violations alone: else all that passed, megabytes, is told, too.
    const found = await window.axe.run({ runOnly: tags, resultTypes: ['violations'] });
    if (document.querySelector('iframe') !== null) throw new Error('what a frame holds was not looked at');
    return found.violations.map(
      ({ id, help, nodes }) => `${id}: ${help} (${nodes.map((node) => node.target.join(' ')).join(', ')})`,
    );
  }, TAGS);
}
