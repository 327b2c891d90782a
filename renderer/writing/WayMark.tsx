/** By which way a colour was told: a line by the film fit, dots by the target's map; the foot of the grid says so. */
import type { Quantity } from '../../analysis/quantity.ts';
import { wayOf } from '../film/byWay.ts';
import '../film/toldBy.css';

const HEARD = { film: 'by the film fit: ', map: 'by the target’s map: ' } as const;

export function WayMark({ finding }: { readonly finding: Quantity }) {
  const way = wayOf(finding);
  if (way === null) return null;
  return (
    <>
      <span className="told-mark" data-way={way} aria-hidden="true" />
      <span className="visually-hidden">{HEARD[way]}</span>
    </>
  );
}
