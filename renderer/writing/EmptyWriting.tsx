/** No lines were marked yet: what the grid is for and how it comes about. */
import { goTo } from '../address/useAddress.ts';
import { Button } from '../look/Button.tsx';
import { EmptyState } from '../look/EmptyState.tsx';

export function EmptyWriting({ ink, papers }: { readonly ink: number; readonly papers: number }) {
  const more = papers > 0 ? ' Swabs alone have no nib.' : '';
  return (
    <div className="writing-nothing">
      <EmptyState
        sentence={`Write the same lines with every nib on every paper, scan them, and draw a box around each on the Scans page, with its nib and paper named: they stand here side by side.${more}`}
        drawing={<GridDrawing />}
      >
        <Button kind="strong" onPress={() => goTo({ page: 'scans', ink, query: {} })}>
          Go to the scans
        </Button>
      </EmptyState>
    </div>
  );
}

/** Two papers, three nibs, one cell still to be written. */
function GridDrawing() {
  return (
    <svg viewBox="0 0 300 132" aria-hidden="true" className="writing-drawing">
      {[0, 1].map((row) =>
        [0, 1, 2].map((column) => {
          const [x, y] = [12 + 94 * column, 8 + 62 * row];
          const waits = row === 1 && column === 1;
          return (
            <g key={`${row} ${column}`}>
              <rect x={x} y={y} width="84" height="52" {...(waits ? { strokeDasharray: '4 3', fill: 'none' } : {})} />
              {!waits && (
                <path
                  d={`M${x + 10} ${y + 30}c6-16 10 9 17-2s9 9 16-1 8 7 15-2 9 8 16 0`}
                  strokeWidth={1.5 + 1.75 * column}
                />
              )}
            </g>
          );
        }),
      )}
    </svg>
  );
}
