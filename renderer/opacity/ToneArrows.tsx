import { useCallback, useMemo, useState } from 'react';
import { Button } from '../look/Button.tsx';
import type { Surface } from '../plots/paint.ts';
import { PlotFigure } from '../plots/PlotFigure.tsx';
import { type Seen, toneArrows, type TonePair, toneSummary, toneTable } from './toneData.ts';
import { toneSvg } from './toneSvg.ts';
import './opacity.css';

export interface ToneArrowsProps {
  readonly ink: string;
  readonly pair: TonePair;
  /** Shown first; the other on demand. @default 'absolute' */
  readonly seen?: Seen;
  readonly level?: 2 | 3 | 4;
}

/** How far and whither a change of paper moves the paper's colour and the ink's. */
export function ToneArrows({ ink, pair, seen: first = 'absolute', level = 3 }: ToneArrowsProps) {
  const [chosen, setChosen] = useState<Seen | null>(null);
  const seen = chosen ?? first;
  const [from, to] = pair.papers.map(({ name }) => shortName(name));
  const build = useCallback(
    (surface: Surface) => toneSvg(toneArrows(pair, seen), [from, to], seen, surface),
    [pair, seen, from, to],
  );
  const table = useMemo(() => toneTable(pair, seen), [pair, seen]);
  const canAdapt = pair.papers.every(({ colour }) => colour !== null);
  return (
    <PlotFigure
      title={`From ${from} to ${to}`}
      summary={toneSummary(pair, seen)}
      table={table}
      build={build}
      aspect={0.86}
      ink={ink}
      level={level}
    >
      <p className="plot-key">
        {seen === 'absolute'
          ? 'Discs are the ink, squares the paper; an arrow leads to the second paper, the papers’ own is dashed.'
          : 'Each colour against its own paper as the white, which lies at 0, 0; an arrow leads to the second paper.'}
      </p>
      {canAdapt && (
        <Button kind="plain" onPress={() => setChosen(seen === 'absolute' ? 'adapted' : 'absolute')}>
          {seen === 'absolute' ? 'Show it to an eye used to each page' : 'Show it as seen side by side'}
        </Button>
      )}
    </PlotFigure>
  );
}

/** 'bright white, smooth' → 'bright white' */
function shortName(paper: string): string {
  return paper.split(',')[0];
}
