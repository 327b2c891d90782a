/** Findings: what was measured as tables, the scan that it was measured on, and what the chosen finding says. */
import { memo, useCallback, useDeferredValue, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react';
import type { FindingsReport, RegionDetail, TracedFinding, Work, WorkScan } from '../../electron/backend/api.ts';
import { goTo, useAddress } from '../address/useAddress.ts';
import { csvUrl } from '../api/client.ts';
import type { FilmAnswer } from '../../electron/backend/filmAnswer.ts';
import { useFilm } from '../api/store.ts';
import { hasFilm, reportByMap, TOLD, type Told } from '../film/byWay.ts';
import { FilmPart } from '../film/FilmPart.tsx';
import { ToldBy } from '../film/ToldBy.tsx';
import { announce } from '../look/announce.ts';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { onceLaidOut } from '../look/onceLaidOut.ts';
import { useInTurn } from '../look/useInTurn.ts';
import { useKeys } from '../look/useKeys.ts';
import { PapersLink } from '../opacity/PapersLink.tsx';
import { InkPlots } from '../plots/InkPlots.tsx';
import { Reading } from '../reading/Reading.tsx';
import { StripsLink } from '../strips/StripsLink.tsx';
import { GridLink } from '../writing/GridLink.tsx';
import { arrangeFindings } from './arrange/arrangement.ts';
import { benchOf } from './arrange/bench.ts';
import { type WritingFigure, writingFigureOf } from './arrange/writingGrid.ts';
import { findingOfBand, findingOfRegion, nextRegion, sameRegionOther, scansOf } from './choice.ts';
import { DetailWatch } from './DetailWatch.tsx';
import { keepPlace, takePlace } from './keptPlace.ts';
import { OnceMeasured } from './OnceMeasured.tsx';
import { ScanPane } from './scan/ScanPane.tsx';
import { startMeasuring } from './startMeasuring.ts';
import { StandingWords } from './StandingWords.tsx';
import { copyFigure } from './tables/clipboardTable.ts';
import { FindingsTables } from './tables/FindingsTables.tsx';
import './findings.css';

export default function FindingsPage({ ink }: { readonly ink: number }) {
  return <OnceMeasured ink={ink}>{(work, report) => <WithFilm work={work} report={report} />}</OnceMeasured>;
}

interface Measured {
  readonly work: Work;
  readonly report: FindingsReport;
}

function WithFilm({ work, report }: Measured) {
  // Drawn in parts, too: its plots and ramps come with it.
  const loaded = useDeferredValue(useFilm(work.ink.id));
  return <Findings work={work} report={report} film={loaded.state === 'ready' ? loaded.value : null} />;
}

type Props = Measured & { readonly film: FilmAnswer | null };

/** Drawn when something of it changes, not whenever the window hears of the ink. */
const Findings = memo(function Findings({ work, report: measured, film }: Props) {
  const ink = work.ink.id;
  const [told, setTold] = useState<Told>('film');
  const withFilm = useMemo(() => hasFilm(measured), [measured]);
  const report = useMemo(() => (told === 'map' ? reportByMap(measured) : measured), [told, measured]);
  const { findings } = report;
  const { query } = useAddress();
  const all = useMemo(() => arrangeFindings(benchOf(work, report)), [work, report]);
  const chosen = findings.find(({ key }) => key === query['finding']) ?? null;
  const [lastFigure, setLastFigure] = useState<WritingFigure>('shading');
  const figure = (chosen && writingFigureOf(chosen.finding.quantity)) ?? lastFigure;
  const [notes, setNotes] = useState(false);
  const [details, onDetail] = useDetails();

  const choose = (traced: TracedFinding | null): void => {
    if (!traced) return;
    setLastFigure(writingFigureOf(traced.finding.quantity) ?? figure);
    goTo({ page: 'findings', ink, query: { finding: traced.key } }, { replace: chosen !== null });
  };
  const chooseKey = (key: string): void => choose(findings.find((f) => f.key === key) ?? null);
  const chooseFigure = (next: WritingFigure): void => {
    setLastFigure(next);
    if (!chosen || writingFigureOf(chosen.finding.quantity) === null) return;
    const other = sameRegionOther(chosen, findings, next);
    if (other) choose(other);
    else goTo({ page: 'findings', ink, query: {} }, { replace: true });
  };
  const chooseRegion = (id: string): void => {
    const region = work.regions.find((r) => r.region.id === id)?.region;
    const found = region && findingOfRegion(region, findings, figure);
    if (found) choose(found);
    else announce(`“${id}” has no findings yet: press Measure.`);
  };
  const latest = useRef({ chooseKey, chooseFigure });
  useLayoutEffect(() => {
    latest.current = { chooseKey, chooseFigure };
  });
  const onChoose = useCallback((key: string) => latest.current.chooseKey(key), []);
  const onFigure = useCallback((next: WritingFigure) => latest.current.chooseFigure(next), []);
  const show = (what: 'plots' | 'film'): void =>
    goTo({ page: 'findings', ink, query: { ...(chosen && { finding: chosen.key }), show: what } }, { replace: true });
  const step = (by: 1 | -1): void => {
    const next = nextRegion(
      work.regions.map(({ region }) => region),
      findings,
      chosen,
      by,
    );
    if (next !== null) chooseRegion(next);
  };
  useKeys('Findings', [
    { keys: 'n', does: 'choose the next region', run: () => step(1) },
    { keys: 'p', does: 'choose the region before', run: () => step(-1) },
    { keys: 't', does: 'show all notes in words, or hide them', run: () => setNotes((shown) => !shown) },
    ...(withFilm
      ? [
          {
            keys: 'c',
            does: 'tell colours by the film fit, by the target’s map, or both',
            run: () => setTold(TOLD[(TOLD.indexOf(told) + 1) % TOLD.length]),
          },
        ]
      : []),
    {
      keys: 'Escape',
      does: 'choose nothing: the ink as a whole',
      run: () => goTo({ page: 'findings', ink, query: {} }),
    },
    { keys: 'ArrowLeft / ArrowRight / ArrowUp / ArrowDown', does: 'in a table: from figure to figure' },
    { keys: 'Enter', does: 'in a table: choose the figure' },
    { keys: 'Ctrl+C', does: 'in a table: copy the figure with its ± and unit' },
  ]);
  useEffect(() => {
    const copy = (event: ClipboardEvent): void => void copyFigure(event, findings);
    document.addEventListener('copy', copy);
    return () => document.removeEventListener('copy', copy);
  }, [findings]);

  const tables = useRef<HTMLElement>(null);
  // The tables come a frame after all else, so that the page is not laid out in one go; the plots after what asked for them.
  const hasTables = useInTurn(2, 1) === 2;
  const [allTables, setAllTables] = useState(false);
  const onAll = useCallback(() => setAllTables(true), []);
  const isFull = useCallback(() => isOverfull(tables.current), []);
  const opening = useRef(true);
  const opened = useDeferredValue(query['show']);
  const chosenKey = chosen?.key ?? null;
  useEffect(() => {
    if (!allTables) return;
    return onceLaidOut(() => {
      const isBack = opening.current && tables.current && takePlace(ink, tables.current, chosenKey);
      opening.current = false;
      if (isBack || chosenKey === null) return;
      // Chosen on the scan or by the address: its cell comes into sight; one that is in sight does not move.
      const cell = tables.current?.querySelector(`[data-finding="${CSS.escape(chosenKey)}"]`);
      cell?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
    });
  }, [ink, chosenKey, allTables, tables]);
  useLayoutEffect(
    () => (allTables && tables.current ? keepPlace(ink, tables.current, chosenKey) : undefined),
    [ink, chosenKey, allTables, tables],
  );

  const asked = query['scan'];
  const shown = useMemo(() => shownOf(work, chosen, asked), [work, chosen, asked]);
  const watched = work.regions.flatMap(({ region: { id, kind, scan }, measured }) => {
    const isChosen = chosen?.finding.subject.regions.includes(id) ?? false;
    const isStrip = kind === 'strip' && shown.some((s) => s.id === scan);
    return measured !== 'never' && (isChosen || isStrip) ? [id] : [];
  });
  // Scan and reading follow the choice in parts: the table answers first.
  const scans = useDeferredValue(
    <ScanPane
      {...{ work, findings, shown, details }}
      chosen={chosen}
      others={[
        {
          name: 'Plots',
          content: opened === 'plots' ? <InkPlots work={work} findings={report} film={film} /> : null,
          onOpen: () => show('plots'),
        },
        ...(film === null
          ? []
          : [
              {
                name: 'Film',
                content:
                  opened === 'film' ? (
                    <FilmPart work={work} findings={measured} film={film} onChooseRegion={chooseRegion} />
                  ) : null,
                onOpen: () => show('film'),
              },
            ]),
      ]}
      onChooseScan={(scan) =>
        goTo({ page: 'findings', ink, query: { ...(chosen && { finding: chosen.key }), scan } }, { replace: true })
      }
      onChooseRegion={chooseRegion}
      onChooseBand={(region, band) => choose(findingOfBand(region, band, findings, chosen))}
    />,
  );
  const reading = useDeferredValue(
    <Reading
      work={work}
      findings={report}
      chosen={chosen}
      details={details}
      onChoose={onChoose}
      {...(film && {
        film: {
          answer: film,
          measured: measured.findings.find(({ key }) => key === chosenKey)?.finding ?? null,
          onOpen: () => show('film'),
        },
      })}
    />,
  );
  return (
    <div className="findings">
      {watched.map((region) => (
        <DetailWatch key={region} ink={ink} region={region} onDetail={onDetail} />
      ))}
      <section className="findings-tables" aria-label="Tables" ref={tables}>
        <div className="findings-head">
          <Button kind="plain" chosen={notes} onPress={() => setNotes(!notes)} aria-keyshortcuts="t">
            Notes in words
          </Button>
          <span className="findings-key">
            <span className="findings-noted">dotted</span>: has a note
            {findings.some(({ current }) => !current) && (
              <>
                ,<span className="findings-stale">dashed</span>: stale
              </>
            )}
          </span>
          <GridLink ink={ink} chosen={chosen} />
          <StripsLink work={work} chosen={chosen} />
          <PapersLink ink={ink} group="Findings" />
          <a href={csvUrl(ink, told === 'map' ? 'map' : 'film')} download>
            Save as CSV
          </a>
        </div>
        {withFilm && <ToldBy told={told} onTold={setTold} />}
        {hasTables && (
          <>
            <FindingsTables
              {...(withFilm && { told: told === 'both' ? BESIDE : ALONE })}
              all={all}
              figure={figure}
              onFigure={onFigure}
              notes={notes}
              chosenKey={chosenKey}
              onChoose={onChoose}
              onAll={onAll}
              isFull={isFull}
            />
            <StandingWords work={work} report={report} onMeasure={() => void startMeasuring(ink)} />
          </>
        )}
      </section>
      {scans}
      <div className="findings-reading">
        {query['finding'] !== undefined && chosen === null && work.job?.state !== 'running' && (
          <Notice action={{ words: 'The whole ink', run: () => goTo({ page: 'findings', ink, query: {} }) }}>
            The figure that this address names is not here: it is not measured, or its region was removed.
          </Notice>
        )}
        {reading}
      </div>
    </div>
  );
});

/** The scans that what is chosen lies on. */
function shownOf(work: Work, chosen: TracedFinding | null, asked: string | undefined): readonly WorkScan[] {
  const ids = asked !== undefined ? [asked] : chosen ? scansOf(chosen, work.regions) : [];
  const found = ids.flatMap((id) => work.scans.find((scan) => scan.id === id) ?? []).slice(0, 2);
  const first = work.scans.find(({ id }) => work.regions.some(({ region }) => region.scan === id));
  return found.length > 0 ? found : [first ?? work.scans[0]].filter((scan) => scan !== undefined);
}

function isOverfull(pane: HTMLElement | null): boolean {
  return pane !== null && pane.scrollHeight > pane.clientHeight;
}

const BESIDE = { beside: true } as const;
const ALONE = { beside: false } as const;

type Details = Readonly<Record<string, RegionDetail>>;

function useDetails(): [Details, (region: string, detail: RegionDetail | null) => void] {
  const [details, setDetails] = useState<Details>({});
  const onDetail = useCallback((region: string, detail: RegionDetail | null) => {
    setDetails((held) => (detail === null || held[region] === detail ? held : { ...held, [region]: detail }));
  }, []);
  return [details, onDetail];
}
