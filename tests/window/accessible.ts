/** Rules of WCAG 2.2 AA that a machine can check, on the page as it stands. */
import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';

/** One line a violation: what it is and where; empty when there is none. */
export async function violations(page: Page): Promise<string[]> {
  const found = await new AxeBuilder({ page })
    .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'])
    .analyze();
  return found.violations.map(
    ({ id, help, nodes }) => `${id}: ${help} (${nodes.map((node) => node.target.join(' ')).join(', ')})`,
  );
}
