import { goTo } from '../address/useAddress.ts';
import { Button } from '../look/Button.tsx';
import { EmptyState } from '../look/EmptyState.tsx';
import './neverMeasured.css';

interface Props {
  readonly ink: number;
  readonly hasRegions: boolean;
  readonly onMeasure: () => void;
}

/** Nothing was measured yet: what to do first. */
export function NeverMeasured(props: Props) {
  return (
    <div className="findings-nothing">
      <Teaching {...props} />
    </div>
  );
}

function Teaching({ ink, hasRegions, onMeasure }: Props) {
  if (!hasRegions) {
    return (
      <EmptyState
        sentence="Findings come from regions: on the Scans page, draw a box around each writing sample, swab, strip and a piece of bare paper."
        drawing={<PageDrawing numbers={false} />}
      >
        <Button kind="strong" onPress={() => goTo({ page: 'scans', ink, query: {} })}>
          Go to the scans
        </Button>
      </EmptyState>
    );
  }
  return (
    <EmptyState
      sentence="The regions are drawn; measuring turns each of them into colours, shading and bands, with how sure they are."
      drawing={<PageDrawing numbers />}
    >
      <Button kind="strong" onPress={onMeasure}>
        Measure
      </Button>
    </EmptyState>
  );
}

/** A page with boxes around what was written, and the figures that they give. */
function PageDrawing({ numbers }: { readonly numbers: boolean }) {
  return (
    <svg viewBox={`0 0 ${numbers ? 280 : 226} 130`} aria-hidden="true" className="findings-drawing">
      <rect x="10" y="8" width="112" height="114" className="drawn-page" />
      {[26, 58].map((y, i) => (
        <g key={y}>
          <path d={`M26 ${y + 10}c6-14 10 8 16-2s9 8 15-1 8 6 14-2 9 7 15 0 8 2 14-2`} strokeWidth={2 + 2 * i} />
          <rect x="20" y={y - 6} width="92" height="26" className="drawn-box" />
        </g>
      ))}
      <rect x="30" y="92" width="36" height="16" className="drawn-swab" />
      <rect x="24" y="87" width="48" height="26" className="drawn-box" />
      <rect x="80" y="87" width="32" height="26" className="drawn-box" strokeDasharray="4 3" />
      {numbers && (
        <g className="drawn-figures">
          <path d="M130 33h22M130 65h22M130 100h22" />
          <text x="160" y="39">
            6.3 ± 1.3
          </text>
          <text x="160" y="71">
            3.9 ± 1.0
          </text>
          <text x="160" y="106">
            4.2 ± 1.2
          </text>
        </g>
      )}
    </svg>
  );
}
