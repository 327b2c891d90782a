/** The dyes of the whole shelf: every band by hue and R_F, and which inks may share one. */
import { useCallback, useMemo, useState } from 'react';
import { fixed } from '../../analysis/report/valueText.ts';
import type { ShelfDyes } from '../../electron/backend/stripAnswers.ts';
import { formatAddress, SHELF } from '../address/address.ts';
import { goTo, useAddress } from '../address/useAddress.ts';
import { useShelfDyes } from '../api/store.ts';
import { Button } from '../look/Button.tsx';
import { EmptyState } from '../look/EmptyState.tsx';
import { Notice } from '../look/Notice.tsx';
import { cssLab } from '../look/Swatch.tsx';
import type { Surface } from '../plots/paint.ts';
import { leftOutNames } from '../plots/placeLabels.ts';
import { PlotFigure } from '../plots/PlotFigure.tsx';
import { Words } from '../reading/Words.tsx';
import { DYE_COLUMNS, type DyeColumn, type DyeRow, dyeRows, sortedRows } from './dyeRows.ts';
import { type DyesData, dyesData, dyesSvg } from './dyesSvg.ts';
import { OneStrip } from './StripDrawing.tsx';
import './strips.css';
import './dyes.css';

export default function DyesPage() {
  const found = useShelfDyes();
  if (found.state === 'loading') return <p className="page-loading">Holding the strips against each other…</p>;
  if (found.state === 'failed') {
    return (
      <div className="page-fault">
        <Notice>{found.problem.message}</Notice>
      </div>
    );
  }
  return found.value.table.bands.length === 0 ? <NoDyes strips={found.value.strips} /> : <Dyes dyes={found.value} />;
}

function Dyes({ dyes }: { readonly dyes: ShelfDyes }) {
  const { table, shared, note, inks } = dyes;
  const data = useMemo(() => dyesData(table), [table]);
  const build = useCallback((surface: Surface) => dyesSvg(data, surface), [data]);
  const rows = useMemo(() => dyeRows(table), [table]);
  return (
    <div className="dyes-page">
      <div>
        <header className="dyes-head">
          <h1>Dyes of all inks</h1>
          <p>
            <Words>{note}</Words>
          </p>
          <p>
            <a href={formatAddress(SHELF)}>Back to the shelf</a>
          </p>
        </header>
        <section aria-label="Inks that share a dye" className="dyes-shared">
          <h2>Inks that share a dye</h2>
          {shared.length === 0 ? (
            <p>{nothingShared(dyes)}</p>
          ) : (
            <ul className="dyes-shared">
              {table.shared.map((group, i) => (
                <li key={shared[i]}>
                  <span>
                    {group.bands.map((band) => (
                      <span
                        key={`${band.strip.ink} ${band.strip.region} ${band.band}`}
                        className="strip-swatch"
                        aria-hidden="true"
                        style={{ backgroundColor: cssLab(band.colour) }}
                      />
                    ))}
                  </span>
                  <span>
                    <Words>{shared[i]}</Words>
                  </span>
                </li>
              ))}
            </ul>
          )}
        </section>
        <div className="dyes-both">
          <PlotFigure
            title="Bands by hue and place"
            summary={dyesSummary(data)}
            table={{
              columns: ['ink', 'strip', 'band', 'hue, °', 'R_F', 'L*', 'a*', 'b*'],
              rows: rows.map(({ band }) => [
                band.strip.ink,
                band.strip.region,
                String(band.band),
                band.hueDeg === null ? 'grey' : fixed(band.hueDeg, 1),
                fixed(band.rF, 3),
                ...band.colour.map((v) => fixed(v, 1)),
              ]),
            }}
            build={build}
            aspect={0.62}
            level={2}
            ink="All inks"
          >
            <p className="plot-key">
              Crosses: ± two standard uncertainties. Dashes tie bands that may be one dye.
              {data.grey > 0 &&
                ` ${data.grey === 1 ? 'One band is nearly grey and stands' : `${data.grey} bands are nearly grey and stand`} in the table alone.`}{' '}
              {leftOutNames(data.points.length)}
            </p>
          </PlotFigure>
          <DyeTableOf rows={rows} inks={inks} />
        </div>
      </div>
    </div>
  );
}

function nothingShared({ table, inks }: ShelfDyes): string {
  if (Object.keys(inks).length < 2) {
    return 'Only one ink has a strip: run another one on the same paper with the same liquid, and what they share stands here.';
  }
  return table.alone.length > 0
    ? 'None was found. Strips on other papers or with other liquids were not compared.'
    : 'None was found among the bands that could be compared.';
}

function dyesSummary({ points, ties }: DyesData): string {
  const inks = new Set(points.map(({ ink }) => ink)).size;
  return `${points.length} bands of ${inks} ${inks === 1 ? 'ink' : 'inks'} by hue and R_F; ${ties.length === 0 ? 'none may be one dye' : `${ties.length} may be the same dye as another`}.`;
}

interface DyeTableProps {
  readonly rows: readonly DyeRow[];
  readonly inks: ShelfDyes['inks'];
}

function DyeTableOf({ rows, inks }: DyeTableProps) {
  const { query } = useAddress();
  const [by, setBy] = useState<DyeColumn>(DYE_COLUMNS.find(({ column }) => column === query['by'])?.column ?? 'hue');
  const [falling, setFalling] = useState(false);
  const sorted = useMemo(() => sortedRows(rows, by, falling), [rows, by, falling]);
  const sort = (column: DyeColumn): void => {
    setFalling(column === by && !falling);
    setBy(column);
    goTo({ page: 'dyes', ink: null, query: { by: column } }, { replace: true });
  };
  return (
    <table className="dyes-table">
      <caption className="visually-hidden">Bands of all strips</caption>
      <thead>
        <tr>
          {DYE_COLUMNS.map(({ column, words }) => (
            <th
              key={column}
              scope="col"
              aria-sort={column === by ? (falling ? 'descending' : 'ascending') : 'none'}
              className={column === 'hue' || column === 'rF' ? 'dyes-number' : undefined}
            >
              <Button kind="plain" onPress={() => sort(column)}>
                <span>
                  <Words>{words}</Words>
                </span>
                {column === by && <span aria-hidden="true">{falling ? '▾' : '▴'}</span>}
              </Button>
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {sorted.map(({ key, band, hueWords, rFWords, conditions, sharedWith }) => (
          <tr key={key}>
            <td className="dyes-number">{hueWords}</td>
            <td className="dyes-number">{rFWords}</td>
            <td>
              <a
                href={formatAddress({
                  page: 'strips',
                  ink: inks[band.strip.ink] ?? null,
                  query: { strip: band.strip.region, band: String(band.band) },
                })}
              >
                {band.strip.ink}, band {band.band}
              </a>
            </td>
            <td>
              <span className="strip-swatch" aria-hidden="true" style={{ backgroundColor: cssLab(band.colour) }} />{' '}
              {band.name}
            </td>
            <td>{conditions}</td>
            <td>{sharedWith.join(', ')}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function NoDyes({ strips }: { readonly strips: number }) {
  return (
    <div className="strips-nothing">
      <h1 className="visually-hidden">Dyes of all inks</h1>
      <EmptyState
        sentence={
          strips === 0
            ? 'No ink on the shelf has a chromatography strip yet. Run a strip of each ink on the same paper with the same liquid: then their dyes stand here by hue and by how far they ran, and inks that may share one are named.'
            : 'The strips on the shelf have no bands with a place and a colour yet. Measure them, with their origin and front found or set: then their dyes stand here.'
        }
        drawing={<OneStrip />}
      >
        <Button kind="strong" onPress={() => goTo(SHELF)}>
          Go to the shelf
        </Button>
      </EmptyState>
    </div>
  );
}
