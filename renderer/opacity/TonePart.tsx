/** What a change of paper did to the ink where it was written on both: arrows, and swatches edge to edge. */
import type { Names } from '../../analysis/report/names.ts';
import type { TracedFinding } from '../../electron/backend/api.ts';
import { SwatchPair } from './SwatchPair.tsx';
import { ToneArrows } from './ToneArrows.tsx';
import type { TonePair } from './toneData.ts';

export interface TonePartProps {
  readonly ink: string;
  readonly pairs: readonly TonePair[];
  readonly names: Names;
  /** Address of a finding. */
  readonly to: (traced: TracedFinding) => string;
}

export function TonePart({ ink, pairs, names, to }: TonePartProps) {
  return (
    <section className="tone-part" aria-label="From paper to paper">
      <h3>From paper to paper</h3>
      <p className="tone-lead">
        What was measured where one pen wrote on two papers: as seen side by side, and to an eye used to each page,
        which takes the paper for white.
      </p>
      {pairs.map((pair) => (
        <div key={pair.key} className="tone-pair">
          <ToneArrows ink={ink} pair={pair} level={4} />
          <ul className="tone-samples">
            {pair.samples.map((sample) => (
              <SwatchPair key={sample.key} pair={pair} sample={sample} names={names} to={to} />
            ))}
          </ul>
        </div>
      ))}
    </section>
  );
}
