import { Button } from '../look/Button.tsx';
import { copy } from '../look/Figure.tsx';
import { Folded } from '../look/Folded.tsx';
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
      <Button
        kind="plain"
        onPress={() => {
          copy(csvOf(data));
        }}
      >
        Copy as CSV
      </Button>
    </Folded>
  );
}

/** RFC 4180, with real minus signs turned into the ones that programs read. */
export function csvOf({ columns, rows }: TableData): string {
  const cell = (text: string): string => {
    const plain = text.replace(/^−/, '-');
    return /[",\r\n]/.test(plain) ? `"${plain.replaceAll('"', '""')}"` : plain;
  };
  return [columns, ...rows].map((row) => row.map(cell).join(',')).join('\r\n');
}
