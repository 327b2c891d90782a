/** Strips of one ink: which dyes, where, how much; whose dye lies where in the writing; what drying changed. */
import { memo, useDeferredValue, useState } from 'react';
import type { FindingsReport, RegionDetail, TracedFinding, Work } from '../../electron/backend/api.ts';
import { DYES, formatAddress } from '../address/address.ts';
import { goTo, lastAddress, useAddress } from '../address/useAddress.ts';
import { startMeasuring } from '../findings/startMeasuring.ts';
import { useDetail } from '../api/store.ts';
import { MeasuredInk } from '../findings/MeasuredInk.tsx';
import { Button } from '../look/Button.tsx';
import { EmptyState } from '../look/EmptyState.tsx';
import { Notice } from '../look/Notice.tsx';
import { useKeys } from '../look/useKeys.ts';
import { Reading } from '../reading/Reading.tsx';
import { nowRegion } from '../scans/renamed.ts';
import type { PlacedStrip } from './bandEdits.ts';
import { DyesWhere } from './DyesWhere.tsx';
import { FreshAndDried } from './FreshAndDried.tsx';
import { StripBench } from './StripBench.tsx';
import { OneStrip } from './StripDrawing.tsx';
import { runPairs } from './stripPairs.ts';
import { useMeasuredAgain, useStripEdits } from './useStripEdits.ts';
import './strips.css';

export default function StripsPage({ ink }: { readonly ink: number }) {
  return <MeasuredInk ink={ink}>{(work, report) => <Strips work={work} report={report} />}</MeasuredInk>;
}

type Part = 'bands' | 'dyes' | 'runs';
const PARTS: readonly { readonly part: Part; readonly name: string; readonly key: string }[] = [
  { part: 'bands', name: 'Bands', key: '1' },
  { part: 'dyes', name: 'Which dye where', key: '2' },
  { part: 'runs', name: 'Fresh and dried', key: '3' },
];

function Strips({ work, report }: { readonly work: Work; readonly report: FindingsReport }) {
  const ink = work.ink.id;
  const { query } = useAddress();
  const strips = work.regions.flatMap(({ region }) => (isPlaced(region) ? [region] : []));
  const { strip: asked, over } = query;
  const chosen = strips.find(({ id }) => asked !== undefined && id === nowRegion(ink, asked)) ?? strips[0];
  const part = PARTS.find((one) => one.part === query['part'])?.part ?? 'bands';
  const go = (change: Readonly<Record<string, string | undefined>>): void =>
    goTo({ page: 'strips', ink, query: { ...query, ...change } }, { replace: true });
  const toTables = (): void => goTo(lastAddress('findings', ink));
  const step = (by: 1 | -1): void => {
    const at = strips.findIndex(({ id }) => id === chosen?.id);
    const next = strips[(at + by + strips.length) % strips.length];
    if (next) go({ strip: next.id, band: undefined, finding: undefined });
  };
  useKeys('Strips', [
    ...PARTS.map(({ part: to, name, key }) => ({
      keys: key,
      does: `show ${name.toLowerCase()}`,
      run: () => go({ part: to }),
    })),
    { keys: '. / ,', does: 'the next strip, the one before', run: (e) => step(e.key === '.' ? 1 : -1) },
    { keys: 'g', does: 'go to the tables of findings', run: toTables },
  ]);
  if (!chosen) return <NoStrips ink={ink} />;
  const pairs = runPairs(report.findings);
  const pair = pairs.find(({ fresh, dried }) => fresh === chosen.id || dried === chosen.id) ?? pairs[0] ?? null;
  return (
    <div className="strips headed-page">
      <div className="strips-head headed-page-head">
        <h2>Strips</h2>
        <fieldset aria-label="Strip">
          {strips.map(({ id }) => (
            <Button
              key={id}
              kind="plain"
              chosen={id === chosen.id}
              onPress={() => go({ strip: id, band: undefined, finding: undefined })}
            >
              {id}
            </Button>
          ))}
        </fieldset>
        <fieldset aria-label="What is shown">
          {PARTS.map(({ part: to, name, key }) => (
            <Button key={to} kind="plain" chosen={to === part} onPress={() => go({ part: to })} aria-keyshortcuts={key}>
              {name}
            </Button>
          ))}
        </fieldset>
        <span className="headed-page-ways">
          <a href={formatAddress(lastAddress('findings', ink))} aria-keyshortcuts="g">
            Tables of findings
          </a>
          <a href={formatAddress(DYES)}>Dyes of all inks</a>
        </span>
      </div>
      {part === 'bands' ? (
        <Bands key={chosen.id} work={work} report={report} region={chosen} query={query} go={go} />
      ) : (
        <div className="strips-main">
          {part === 'dyes' ? (
            <DyesWhere
              work={work}
              report={report}
              strip={chosen.id}
              over={over === undefined ? null : nowRegion(ink, over)}
              onOver={(over) => go({ over })}
            />
          ) : (
            <FreshAndDried
              work={work}
              report={report}
              pair={pair}
              onChoose={(key) => goTo({ page: 'findings', ink, query: { finding: key } })}
            />
          )}
        </div>
      )}
    </div>
  );
}

interface BandsProps {
  readonly work: Work;
  readonly report: FindingsReport;
  readonly region: PlacedStrip;
  readonly query: Readonly<Record<string, string | undefined>>;
  readonly go: (change: Readonly<Record<string, string | undefined>>) => void;
}

const NO_DETAILS: Readonly<Record<string, RegionDetail>> = {};

/** What was never measured has no detail to ask for. */
function Bands(props: BandsProps) {
  const standing = props.work.regions.find((one) => one.region.id === props.region.id);
  return standing?.measured === 'never' ? <BandsOf {...props} detail={null} /> : <MeasuredBands {...props} />;
}

function MeasuredBands(props: BandsProps) {
  const loaded = useDeferredValue(useDetail(props.work.ink.id, props.region.id));
  return <BandsOf {...props} detail={loaded.state === 'ready' ? loaded.value : null} />;
}

type BandsOfProps = BandsProps & { readonly detail: RegionDetail | null };

const BandsOf = memo(function BandsOf({ work, report, region, query, go, detail }: BandsOfProps) {
  const ink = work.ink.id;
  const edits = useStripEdits(work);
  const [isHeld, setHeld] = useState(false);
  const [second, setSecond] = useState<number | null>(null);
  useMeasuredAgain(work, isHeld);
  const band = query['band'] === undefined ? null : Number(query['band']);
  const standing = work.regions.find((one) => one.region.id === region.id);
  const chosen = [...(band === null ? [] : [band]), ...(second === null || second === band ? [] : [second])];
  const traced = findingToRead(report.findings, region.id, band, query['finding']);
  return (
    <div className="strips-two">
      <div className="strips-main">
        {standing?.problem != null && <Notice>{standing.problem}</Notice>}
        {standing?.measured === 'never' && standing.problem === null && (
          <Notice kind="word" action={{ words: 'Measure', run: () => void startMeasuring(ink) }}>
            This strip is not measured yet: its bands and their places come with that.
          </Notice>
        )}
        <StripBench
          work={work}
          region={region}
          detail={detail}
          findings={report.findings}
          chosen={chosen}
          onChoose={([first, more]) => {
            go({ band: first === undefined ? undefined : String(first), finding: undefined });
            setSecond(more ?? null);
          }}
          edits={edits}
          isStale={standing?.measured === 'stale'}
          onHeld={setHeld}
        />
      </div>
      <aside className="strips-reading" aria-label="What is chosen">
        <Reading
          work={work}
          findings={report}
          chosen={traced}
          details={NO_DETAILS}
          onChoose={(key) => go({ finding: key })}
        />
      </aside>
    </div>
  );
});

/** Of the chosen band its place; without one what of the ink did not leave the origin. */
function findingToRead(
  findings: readonly TracedFinding[],
  strip: string,
  band: number | null,
  key: string | undefined,
): TracedFinding | null {
  const named = findings.find((traced) => traced.key === key);
  if (named) return named;
  const own = findings.filter(({ finding: { subject } }) => subject.regions.join() === strip);
  const ofBand = own.find(({ finding: { quantity, subject } }) => quantity === 'bandPosition' && subject.band === band);
  return ofBand ?? own.find(({ finding: { quantity } }) => quantity === 'originRetained') ?? null;
}

function isPlaced(region: Work['regions'][number]['region']): region is PlacedStrip {
  return region.kind === 'strip' && region.boxMm !== undefined;
}

function NoStrips({ ink }: { readonly ink: number }) {
  return (
    <div className="strips-nothing">
      <EmptyState
        sentence="Put a spot of ink on a strip of filter paper, let water run through it, mark how far it came, and scan the dry strip. On the Scans page, look for strips or draw a box around one: its dyes stand here."
        drawing={<OneStrip />}
      >
        <Button kind="strong" onPress={() => goTo({ page: 'scans', ink, query: {} })}>
          Go to the scans
        </Button>
      </EmptyState>
    </div>
  );
}
