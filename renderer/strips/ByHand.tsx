/** What of a strip was found and what a person gave: its two ends, and what was said of its bands. Each can be taken back. */
import type { StripDetail } from '../../electron/backend/api.ts';
import { Button } from '../look/Button.tsx';
import { Words } from '../reading/Words.tsx';
import { NumberEntry } from '../scans/entries.tsx';
import type { StripLine } from '../scans/stripLines.ts';
import { isPin, saidOf, saidWords, type SaidBand, type StripRegion } from './bandEdits.ts';
import { type BandFigures, isToldAt } from './bandFigures.ts';
import { placeOfRF, type StripEnd } from './stripEnds.ts';

export interface ByHandProps {
  readonly region: StripRegion;
  readonly travel: StripDetail['travel'];
  readonly ends: readonly StripEnd[];
  /** As the fit told them with what is said now; null: it has not followed yet. */
  readonly bands: readonly BandFigures[] | null;
  /** null: it is to be found. */
  readonly onEnd: (line: StripLine, mm: number | null) => Promise<boolean>;
  readonly onTakeBack: (said: SaidBand) => void;
}

export function ByHand({ region, travel, ends, bands, onEnd, onTakeBack }: ByHandProps) {
  const said = saidOf(region);
  const isMissing = (one: SaidBand): boolean => {
    const mm = isPin(one) ? placeOfRF(ends, one.rF) : null;
    return mm !== null && bands !== null && !isToldAt(bands, mm);
  };
  const edge = travel === 'left' || travel === 'right' ? 'left' : 'top';
  return (
    <section className="strip-hand" aria-label="Origin, front and what is set by hand">
      <div className="strip-givens">
        {ends.map((end) => (
          <div key={end.line} className="strip-given">
            <NumberEntry
              label={end.line === 'origin' ? 'Origin' : 'Front'}
              unit="mm"
              digits={2}
              step={0.01}
              least={0}
              value={end.mm}
              note={end.by === 'given' ? 'given' : end.by === 'found' ? 'found' : 'not found'}
              onSave={(mm) => onEnd(end.line, mm)}
            />
            {end.by === 'given' && (
              <Button kind="plain" onPress={() => void onEnd(end.line, null)}>
                Have the {end.line} found
              </Button>
            )}
          </div>
        ))}
      </div>
      <p className="quiet">Both count from the box’s {edge} edge; drag their lines, or give the millimetres.</p>
      {said.length > 0 && (
        <>
          <h3>Bands set by hand</h3>
          <ul className="strip-said">
            {said.map((one, i) => (
              // oxlint-disable-next-line react/no-array-index-key -- the sheet knows a word by its place
              <li key={i}>
                <span>
                  <Words>{`${saidWords(one)}${isMissing(one) ? ': too little colour there, none is told' : ''}`}</Words>
                </span>
                <Button kind="plain" onPress={() => onTakeBack(one)} aria-label={`Take back: ${saidWords(one)}`}>
                  Take back
                </Button>
              </li>
            ))}
          </ul>
          <p className="quiet">The fit follows, and every number of this strip says that a person had a hand in it.</p>
        </>
      )}
    </section>
  );
}
