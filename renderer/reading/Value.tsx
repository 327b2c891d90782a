import type { Quantity, Unit } from '../../analysis/quantity.ts';
import { UNIT_WORDS } from '../../analysis/report/titles.ts';
import { Figure } from '../look/Figure.tsx';

/** Whose words would say once more what stands behind the figure. */
const PLAIN_UNITS: readonly Unit[] = ['1', '%', 'mm', 's'];

/** The figure with its ±, large; a colour as its three components under each other. */
export function Value({ finding }: { readonly finding: Quantity }) {
  const { value, u, unit, verdict } = finding;
  if (value === null) return null;
  if (typeof value === 'number') {
    return (
      <div className="reading-value">
        <Figure value={value} u={u} unit={unit} large />
        {verdict !== undefined && <strong>{verdict}</strong>}
        {!PLAIN_UNITS.includes(unit) && <small>{UNIT_WORDS[unit]}</small>}
      </div>
    );
  }
  const parts = u === null || typeof u === 'number' ? ([u, u, u] as const) : u;
  return (
    <div className="reading-value">
      <dl className="reading-lab">
        {(['L*', 'a*', 'b*'] as const).map((name, i) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>
              <Figure value={value[i]} u={parts[i]} unit="1" large />
            </dd>
          </div>
        ))}
      </dl>
      {verdict !== undefined && <strong>{verdict}</strong>}
    </div>
  );
}
