import { Button } from '../look/Button.tsx';
import { copyRows } from '../look/copyRows.ts';
import { Folded } from '../look/Folded.tsx';
import { type Field, shownNumber } from '../look/shownNumber.ts';
import { Words } from '../reading/Words.tsx';

export interface TableData {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** The plot's numbers, for those who cannot see it or want to take them along. */
export function PlotTable({ data, title }: { readonly data: TableData; readonly title: string }) {
  return (
    <Folded className="plot-table" summary="Table">
      <div className="plot-table-box">
        <table>
          <caption className="visually-hidden">{title}</caption>
          <thead>
            <tr>
              {data.columns.map((column) => (
                <th key={column} scope="col">
                  <Words>{column}</Words>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {data.rows.map((row) => (
              <tr key={row.join('|')}>
                {row.map((cell, i) =>
                  i === 0 ? (
                    <th key={data.columns[i]} scope="row">
                      {cell}
                    </th>
                  ) : (
                    <td key={data.columns[i]}>{cell}</td>
                  ),
                )}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <Button kind="plain" onPress={() => copyRows(title, async () => tableFields(data))}>
        Copy the table
      </Button>
    </Folded>
  );
}

/** The head first; figures as numbers that programs reckon with. */
export function tableFields({ columns, rows }: TableData): readonly (readonly Field[])[] {
  return [columns, ...rows.map((row) => row.map((cell) => shownNumber(cell) ?? cell))];
}
