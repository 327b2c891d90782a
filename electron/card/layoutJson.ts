/** The card's layout as a file, `wetline-target/1`. */
import { WETLINE_CARD } from '../../analysis/calibrate/card/plan.ts';

export function layoutJson(): string {
  const text = JSON.stringify(WETLINE_CARD.layout, null, 1);
  // A box or a point is read at a glance when it stands on one line.
  return `${text.replace(/\[[^[\]{}]*\]/g, (numbers) => numbers.replace(/\s+/g, ' '))}\n`;
}
