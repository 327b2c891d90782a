/** Where an arrow key leads in a table some of whose cells hold nothing. Pure. */

export interface GridPlace {
  readonly row: number;
  readonly column: number;
}

/** @param filled row by row, whether a cell holds a finding. @returns null when there is none that way, or the key leads nowhere. */
export function stepIn(filled: readonly (readonly boolean[])[], from: GridPlace, key: string): GridPlace | null {
  switch (key) {
    case 'ArrowRight':
      return alongRow(filled, from, 1);
    case 'ArrowLeft':
      return alongRow(filled, from, -1);
    case 'ArrowDown':
      return alongColumn(filled, from, 1);
    case 'ArrowUp':
      return alongColumn(filled, from, -1);
    case 'Home':
      return alongRow(filled, { row: from.row, column: -1 }, 1);
    case 'End':
      return alongRow(filled, { row: from.row, column: filled[from.row].length }, -1);
    default:
      return null;
  }
}

export function firstFilled(filled: readonly (readonly boolean[])[]): GridPlace | null {
  const row = filled.findIndex((cells) => cells.includes(true));
  return row < 0 ? null : { row, column: filled[row].indexOf(true) };
}

function alongRow(filled: readonly (readonly boolean[])[], from: GridPlace, step: 1 | -1): GridPlace | null {
  for (let column = from.column + step; column >= 0 && column < filled[from.row].length; column += step) {
    if (filled[from.row][column]) return { row: from.row, column };
  }
  return null;
}

/** The next row that has something: in the same column, else in the one nearest to it. */
function alongColumn(filled: readonly (readonly boolean[])[], from: GridPlace, step: 1 | -1): GridPlace | null {
  for (let row = from.row + step; row >= 0 && row < filled.length; row += step) {
    const columns = filled[row].flatMap((is, column) => (is ? [column] : []));
    if (columns.length === 0) continue;
    const away = (column: number): number => Math.abs(column - from.column);
    return { row, column: columns.reduce((best, column) => (away(column) < away(best) ? column : best)) };
  }
  return null;
}
