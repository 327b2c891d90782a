/** Rules of WCAG 2.2 AA that a machine can check, on the page as it stands. */
import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';

/** One line a violation: what it is and where; empty when there is none. */
export async function violations(page: Page): Promise<string[]> {
  // In the page itself: else all that passed, megabytes, goes to a page of its own to be summed up, which takes the processor three times as long.
  const found = await new AxeBuilder({ page })
    .options({ resultTypes: ['violations'] })
    .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'])
    .setLegacyMode()
    .analyze();
  return found.violations.map(
    ({ id, help, nodes }) => `${id}: ${help} (${nodes.map((node) => node.target.join(' ')).join(', ')})`,
  );
}
