/** Strips of paper that lie on the scan: looked for, and offered as regions. */
import type { WorkScan } from '../../electron/backend/api.ts';
import type { FoundStrip } from '../../electron/backend/stripAnswers.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import { announce } from '../look/announce.ts';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { Progress } from '../look/Progress.tsx';
import type { Bench } from './bench.ts';
import { Cased } from './Cased.tsx';
import { boxInPx, scanSizeMm } from './scanMeasures.ts';
import { leaveStrip, lookForStrips, offeredStrips, stripRegion, useStripSearch } from './stripProposals.ts';

interface Props {
  readonly bench: Bench;
  readonly scan: WorkScan;
}

export function StripOffers({ bench, scan }: Props) {
  const { ink, drafts } = bench;
  const search = useStripSearch(ink, scan.id);
  const size = scanSizeMm(scan);
  if (size === null) return null;
  const offered = offeredStrips(search, scan.id, drafts.regions);
  const take = async (strips: readonly FoundStrip[]): Promise<void> => {
    const taken = [];
    for (const strip of strips) {
      const region = stripRegion(strip, scan, size, [...drafts.regions, ...taken]);
      // One after another: each is a step of undo, and names itself after those before it.
      if (await drafts.add(region)) taken.push(region);
    }
    bench.choose(taken.map(({ id }) => id));
    if (taken.length > 0) announce(`Taken: ${taken.map(({ id }) => `“${id}”`).join(', ')}.`);
  };
  return (
    <section className="column-part" aria-label="Strips">
      <h2>Strips</h2>
      {search.state === 'not-asked' && (
        <p className="quiet">Chromatography strips that lie on the bed are told by their edges, several at a time.</p>
      )}
      {search.state === 'failed' && <Notice>{search.message}</Notice>}
      {search.state === 'looking' && <Progress label="looking for strips" done={0} total={0} />}
      {search.state === 'found' && offered.length === 0 && (
        <p>
          {search.strips.length === 0
            ? 'No strip was found. A strip is told from the bed by its edges: where it lies on paper of its own colour, draw its box by hand.'
            : 'All strips that were found are regions now.'}
        </p>
      )}
      {offered.length > 0 && (
        <ol className="strip-offers">
          {offered.map((strip, i) => (
            <li key={strip.boxMm.join()}>
              <span>{offerWords(strip, i + 1)}</span>
              <span className="buttons">
                <Button onPress={() => void take([strip])} aria-label={`Take strip ${i + 1}`}>
                  Take
                </Button>
                <Button
                  kind="plain"
                  onPress={() => leaveStrip(ink, scan.id, strip)}
                  aria-label={`Leave strip ${i + 1}`}
                >
                  Leave
                </Button>
              </span>
            </li>
          ))}
        </ol>
      )}
      <div className="buttons">
        {offered.length > 1 && (
          <Button kind="strong" onPress={() => void take(offered)}>
            Take all {offered.length}
          </Button>
        )}
        {search.state !== 'looking' && offered.length === 0 && (
          <Button onPress={() => void lookForStrips(ink, scan.id)}>
            {search.state === 'found' ? 'Look again' : 'Look for strips on this scan'}
          </Button>
        )}
      </div>
    </section>
  );
}

const WAYS = { up: 'up', down: 'down', left: 'to the left', right: 'to the right' } as const;

/** 'Strip 1: 18 × 101 mm, the liquid went up'. */
function offerWords({ boxMm: [, , width, height], travel, travelSure }: FoundStrip, number: number): string {
  const size = `${fixed(width, 0)} × ${fixed(height, 0)} mm`;
  const way = `the liquid went ${WAYS[travel]}${travelSure ? '' : ' (a guess: its two ends look alike)'}`;
  return `Strip ${number}: ${size}, ${way}`;
}

interface MarksProps extends Props {
  readonly pxPerMm: number;
  readonly pxPerScreen: number;
}

/** Outlines of what is offered, on the scan. */
export function StripOfferMarks({ bench, scan, pxPerMm, pxPerScreen }: MarksProps) {
  const search = useStripSearch(bench.ink, scan.id);
  return offeredStrips(search, scan.id, bench.drafts.regions).map(({ boxMm }, i) => {
    const [x, y, width, height] = boxInPx(boxMm, pxPerMm);
    return (
      <g key={boxMm.join()} className="region-mark">
        <Cased>
          {(casing) => <rect className={casing} data-dashed="true" x={x} y={y} width={width} height={height} />}
        </Cased>
        <text className="mark-words" x={x + 2 * pxPerScreen} y={y - 5 * pxPerScreen} fontSize={13 * pxPerScreen}>
          strip {i + 1}?
        </text>
      </g>
    );
  });
}
