import { Button } from '../look/Button.tsx';
import type { Bench } from './bench.ts';
import { REGION_KINDS } from './regionKinds.ts';

export interface ToolBarProps {
  readonly bench: Bench;
  /** Why nothing can be drawn on the active scan; null: it can. */
  readonly drawProblem: string | null;
  readonly moveTogether: boolean;
  readonly onMoveTogether: (together: boolean) => void;
}

/** The tools of the bench: kinds of region to draw, the probe, the map of differences. */
export function ToolBar({ bench, drawProblem, moveTogether, onMoveTogether }: ToolBarProps) {
  const { tool, setTool, heat, setHeat, hasReference, place } = bench;
  return (
    <div className="tool-bar" role="toolbar" aria-label="Tools">
      <span className="tool-bar-word" id="tool-bar-draw">
        Draw
      </span>
      {REGION_KINDS.map(({ kind, word, explains, key }) => {
        const inHand = tool.tool === 'draw' && tool.kind === kind;
        return (
          <Button
            key={kind}
            chosen={inHand}
            isDisabled={drawProblem !== null}
            onPress={() => setTool(inHand ? { tool: 'choose' } : { tool: 'draw', kind })}
            aria-label={`${word} ${key}: draw ${explains}`}
            aria-keyshortcuts={key}
          >
            {word} <kbd className="tool-key">{key}</kbd>
          </Button>
        );
      })}
      {drawProblem !== null && <span className="quiet">{drawProblem}</span>}
      <span className="tool-bar-gap" />
      <Button
        chosen={tool.tool === 'probe'}
        onPress={() => setTool({ tool: tool.tool === 'probe' ? 'choose' : 'probe' })}
        aria-keyshortcuts="p"
      >
        Probe <kbd className="tool-key">P</kbd>
      </Button>
      <Button
        chosen={heat}
        isDisabled={!hasReference && !heat}
        onPress={() => setHeat(!heat)}
        aria-keyshortcuts="e"
        aria-label="ΔE00 map E: differences from the pinned colour"
      >
        ΔE00 map <kbd className="tool-key">E</kbd>
      </Button>
      {place.shown.length > 1 && (
        <Button chosen={moveTogether} onPress={() => onMoveTogether(!moveTogether)}>
          Move together
        </Button>
      )}
    </div>
  );
}
