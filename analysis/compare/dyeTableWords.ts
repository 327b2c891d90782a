/** What a dye table says, in plain sentences. */
import type { Conditions, DyeTable, SharedDye } from './dyeTable.ts';

/** 'Three inks share this dye, a vivid blue: Tidewater (band 2, R_F 0.42, hue 262°), …' */
export function sharedDyeText(shared: SharedDye): string {
  const { bands, inks, conditions, worst } = shared;
  const name = bands.find((b) => b.name !== null)?.name;
  const members = bands.map(({ strip, band, rF, hueDeg }) => {
    const hue = hueDeg === null ? 'nearly grey' : `hue ${Math.round(hueDeg)}°`;
    return `${strip.ink} (band ${band}, R_F ${rF.toFixed(3)}, ${hue})`;
  });
  const apart =
    worst.dHueDeg === null
      ? `R_F differs by ${Math.abs(worst.dRF).toFixed(3)}`
      : `R_F differs by ${Math.abs(worst.dRF).toFixed(3)} and hue by ${Math.round(Math.abs(worst.dHueDeg))}°`;
  return (
    `${countWord(inks.length)} inks may share one dye${name === undefined ? '' : `, ${name}`}: ${members.join('; ')}. ` +
    `Between the two least alike ${apart}; one dye would differ by as much in ${percent(worst.probability)} of cases. ` +
    conditionsText(conditions)
  );
}

/** Same place and hue are no proof: said once a table, with what was not compared. */
export function dyeTableNote(table: DyeTable): string {
  const alone =
    table.alone.length === 0
      ? ''
      : ' Some strips had no other ink on the same paper with the same liquid to be held against.';
  return (
    'R_F depends on paper, liquid and temperature, so that bands are compared only within one paper and one liquid, run alike. ' +
    `Equal hue and R_F make one dye likely, and do not prove it.${alone}`
  );
}

function conditionsText({ paper, liquid, run }: Conditions): string {
  const strips = run === null ? 'Strips' : run === 'fresh' ? 'Strips run fresh' : 'Strips dried before the run';
  const on = paper === null ? 'whose paper nobody named' : `on “${paper}”`;
  const by = liquid === null ? 'with a liquid that nobody named' : `with ${liquid}`;
  return `${strips} ${on}, ${by}${paper === null || liquid === null ? ': taken to be the same' : ''}.`;
}

const COUNTS: readonly string[] = ['No', 'One', 'Two', 'Three', 'Four', 'Five', 'Six', 'Seven', 'Eight', 'Nine'];

function countWord(n: number): string {
  return COUNTS[n] ?? String(n);
}

function percent(share: number): string {
  const points = 100 * share;
  return points >= 10 ? `${Math.round(points)} %` : `${points.toFixed(1)} %`;
}
