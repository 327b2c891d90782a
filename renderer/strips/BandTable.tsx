/** A strip's bands with their figures, one a row. */
import { cssLab } from '../look/Swatch.tsx';
import { Words } from '../reading/Words.tsx';
import type { BandFigures } from './bandFigures.ts';

export interface BandTableProps {
  readonly strip: string;
  readonly bands: readonly BandFigures[];
  readonly chosen: readonly number[];
  /** Bands that a person holds in their places. */
  readonly held: ReadonlySet<number>;
  readonly onChoose: (band: number, more: boolean) => void;
}

export function BandTable({ strip, bands, chosen, held, onChoose }: BandTableProps) {
  if (bands.length === 0) return null;
  return (
    <table className="strip-table">
      <caption className="visually-hidden">Bands of the strip “{strip}”</caption>
      <thead>
        <tr>
          <th scope="col">Band</th>
          <th scope="col">
            <Words>R_F</Words>
          </th>
          <th scope="col">share %</th>
          <th scope="col">hue</th>
          <th scope="col">colour</th>
        </tr>
      </thead>
      <tbody>
        {bands.map((band) => (
          <tr key={band.band} data-chosen={chosen.includes(band.band)}>
            <th scope="row">
              <button
                type="button"
                className="strip-choose"
                aria-pressed={chosen.includes(band.band)}
                onClick={(event) => onChoose(band.band, event.shiftKey)}
              >
                {band.band}
              </button>
              {held.has(band.band) && <span className="strip-held">by hand</span>}
            </th>
            <td>{band.rFWords === '' ? 'cannot be told' : band.rFWords}</td>
            <td>{band.shareWords}</td>
            <td>{band.hueWords}</td>
            <td className="strip-table-name">
              <span className="strip-swatch" aria-hidden="true" style={{ backgroundColor: cssLab(band.lab) }} />
              {band.name}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
