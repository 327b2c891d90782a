/** Nibs and papers: a whole review at once. What each nib wrote on each paper, side by side at one scale, in words and in numbers. */
import { memo, use, useDeferredValue, useMemo } from 'react';
import type { FindingsReport, Work } from '../../electron/backend/api.ts';
import { formatAddress } from '../address/address.ts';
import { goTo, lastAddress, useAddress } from '../address/useAddress.ts';
import { hasFilm } from '../film/byWay.ts';
import { staleWords, standingOf } from '../findings/standing.ts';
import { limitWords } from '../findings/tables/limitWords.ts';
import { startMeasuring } from '../findings/startMeasuring.ts';
import { Notice } from '../look/Notice.tsx';
import { ColourOrigin } from '../plots/colourOrigin.ts';
import { Claim } from '../reading/Claim.tsx';
import { namesOfWork } from '../reading/workNames.ts';
import { useKeys } from '../look/useKeys.ts';
import { MeasuredInk } from '../findings/MeasuredInk.tsx';
import { doubtWords } from './doubtWords.ts';
import { EmptyWriting } from './EmptyWriting.tsx';
import { ExchangedNibs } from './ExchangedNibs.tsx';
import { GridHead } from './GridHead.tsx';
import { cellOfRegion, gaps, nibGrid } from './nibGrid.ts';
import { NibTable } from './NibTable.tsx';
import { OddOnes } from './OddOnes.tsx';
import { nextScale, scaleIn } from './thumbnailPicture.ts';
import './writing.css';

export default function WritingPage({ ink }: { readonly ink: number }) {
  return <MeasuredInk ink={ink}>{(work, report) => <Writing work={work} report={report} />}</MeasuredInk>;
}

interface Props {
  readonly work: Work;
  readonly report: FindingsReport;
}

const Writing = memo(function Writing({ work, report }: Props) {
  const ink = work.ink.id;
  const { query } = useAddress();
  const grid = useMemo(() => nibGrid(work, report), [work, report]);
  const names = useMemo(() => namesOfWork(work, report), [work, report]);
  const mmPerPx = scaleIn(query['mm']);
  const wanted = query['values'] === 'on';
  const values = useDeferredValue(wanted);
  const go = (change: Readonly<Record<string, string | undefined>>): void =>
    goTo({ page: 'writing', ink, query: { ...query, ...change } }, { replace: true });
  const zoom = (by: 1 | -1): void => go({ mm: String(nextScale(mmPerPx, by)) });
  const showValues = (): void => go({ values: wanted ? undefined : 'on' });
  const toTables = (): void => goTo(lastAddress('findings', ink));
  useKeys('Nibs and papers', [
    { keys: 'v', does: 'show all values with their ±, or the words alone', run: showValues },
    { keys: '+ / =', does: 'enlarge all pictures alike', run: () => zoom(1) },
    { keys: '-', does: 'make all pictures smaller alike', run: () => zoom(-1) },
    { keys: 'g', does: 'go to the tables of findings', run: toTables },
    { keys: 'ArrowLeft / ArrowRight / ArrowUp / ArrowDown', does: 'in the grid: from sample to sample' },
    { keys: 'Tab', does: 'in the grid: through what a sample says' },
    { keys: 'Enter', does: 'in the grid: show it on the scan' },
  ]);
  if (grid.nibs.length === 0) return <EmptyWriting ink={ink} papers={grid.papers.length} />;
  const standing = standingOf(work, report);
  const limits = limitWords(
    report.findings.flatMap(({ finding }) =>
      finding.subject.regions.length === 1 && finding.quantity !== 'inkColour' ? [finding] : [],
    ),
  );
  const told = hasFilm(report);
  const doubt = doubtWords(report.findings.map(({ finding }) => finding));
  const origin = use(ColourOrigin);
  const waiting = gaps(grid);
  return (
    <div className="writing headed-page">
      <GridHead
        inkId={ink}
        ink={work.ink.name}
        grid={grid}
        values={wanted}
        onValues={showValues}
        mmPerPx={mmPerPx}
        onZoom={zoom}
        tables={formatAddress(lastAddress('findings', ink))}
      />
      <div className="writing-scroll">
        <div className="writing-says">
          {(standing.is === 'stale' || standing.is === 'never') && (
            <Notice
              kind="word"
              action={{
                words: 'Measure',
                run: () => void startMeasuring(ink),
              }}
            >
              {standing.is === 'stale' ? staleWords(standing) : 'Measuring gives each sample its words and numbers.'}
            </Notice>
          )}
          {doubt !== '' && <Notice kind="word">{doubt}</Notice>}
          <Claim
            ink={work.ink.name}
            claim={work.ink.claim}
            names={names}
            onChoose={(key) => goTo({ page: 'findings', ink, query: { finding: key } })}
          />
          <ExchangedNibs ink={ink} names={names} />
          <OddOnes work={work} report={report} names={names} mmPerPx={mmPerPx} />
        </div>
        <NibTable
          work={work}
          grid={grid}
          names={names}
          values={values}
          told={told}
          mmPerPx={mmPerPx}
          cell={cellOfRegion(grid, query['region']) ?? query['cell'] ?? null}
          onCell={(cell) => go({ cell, region: undefined })}
        />
        <div className="writing-foot">
          {waiting > 0 && (
            <p>
              {waiting === 1 ? 'One cell waits' : `${waiting} cells wait`} to be written: write, scan, and draw a box
              around the lines on the Scans page.
            </p>
          )}
          {limits !== '' && <p>{limits}</p>}
          {origin !== '' && <p>{origin}</p>}
          {told && (
            <p className="writing-told">
              <span className="told-mark" data-way="film" aria-hidden="true" /> told by the film fit,
              <span className="told-mark" data-way="map" aria-hidden="true" /> by the target’s map
            </p>
          )}
        </div>
      </div>
    </div>
  );
});
