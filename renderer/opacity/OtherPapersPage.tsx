/** On other papers: what a paper does to this ink, and what the ink will look like where it was never written. */
import { lazy, memo, Suspense, useDeferredValue, useMemo, useState } from 'react';
import type { FindingsReport, Work } from '../../electron/backend/api.ts';
import type { OpacityAnswer } from '../../electron/backend/opacityAnswer.ts';
import { formatAddress } from '../address/address.ts';
import { goTo, lastAddress, useAddress } from '../address/useAddress.ts';
import { useOpacity } from '../api/store.ts';
import { OnceMeasured } from '../findings/OnceMeasured.tsx';
import { startMeasuring } from '../findings/startMeasuring.ts';
import { standingOf, staleWords } from '../findings/standing.ts';
import { InTurn } from '../look/InTurn.tsx';
import { Notice } from '../look/Notice.tsx';
import { useKeys } from '../look/useKeys.ts';
import { scaleIn, nextScale } from '../writing/thumbnailPicture.ts';
import { namesOfWork } from '../reading/workNames.ts';
import { type Ground, groundIn, groundQuery, penIn } from './ground.ts';
import { NoOtherPaper } from './NoOtherPaper.tsx';
import { OnGround } from './OnGround.tsx';
import { PaperChoice } from './PaperChoice.tsx';
import { tonePairs } from './toneData.ts';
import { TonePart } from './TonePart.tsx';
import { whatToWrite } from './whatToWrite.ts';
import './opacity.css';

const PickOnScan = lazy(() => import('./PickOnScan.tsx'));

export default function OtherPapersPage({ ink }: { readonly ink: number }) {
  return <OnceMeasured ink={ink}>{(work, report) => <WithAnswer work={work} report={report} />}</OnceMeasured>;
}

interface Props {
  readonly work: Work;
  readonly report: FindingsReport;
}

function WithAnswer({ work, report }: Props) {
  // Drawn in parts between whatever else the window has to do.
  const answer = useDeferredValue(useOpacity(work.ink.id));
  if (answer.state === 'failed') {
    return (
      <div className="page-fault">
        <Notice>{answer.problem.message}</Notice>
      </div>
    );
  }
  if (answer.state === 'loading') return <p className="page-loading">Opening…</p>;
  return <OtherPapers work={work} report={report} answer={answer.value} />;
}

const OtherPapers = memo(function OtherPapers({ work, report, answer }: Props & { readonly answer: OpacityAnswer }) {
  const ink = work.ink.id;
  const { query } = useAddress();
  const names = useMemo(() => namesOfWork(work, report), [work, report]);
  const pairs = useMemo(() => tonePairs(work, report), [work, report]);
  const [picking, setPicking] = useState(false);
  const mmPerPx = scaleIn(query['mm']);
  const go = (change: Readonly<Record<string, string | undefined>>): void =>
    goTo({ page: 'papers', ink, query: { ...query, ...change } }, { replace: true });
  const zoom = (by: 1 | -1): void => go({ mm: String(nextScale(mmPerPx, by)) });
  const toTables = (): void => goTo(lastAddress('findings', ink));
  const choose = (ground: Ground): void => go(groundQuery(ground));
  const pen = penIn(query, answer);
  const ground = groundIn(query, answer);
  const standing = standingOf(work, report);
  useKeys('On other papers', [
    { keys: 'g', does: 'go to the tables of findings', run: toTables },
    { keys: '+ / =', does: 'enlarge both pictures alike', run: () => zoom(1) },
    { keys: '-', does: 'make both pictures smaller alike', run: () => zoom(-1) },
    { keys: 'ArrowUp / ArrowDown', does: 'in the list of papers: from paper to paper' },
  ]);
  /** Follows the choice in parts: the list answers first. */
  const onGround = useDeferredValue(
    ground !== null && pen !== null ? (
      <OnGround
        version={`${report.measuredAt} ${work.job?.state}`}
        {...{ work, answer, pen, ground, mmPerPx }}
        onZoom={zoom}
        onPen={(key) => go({ pen: key })}
      />
    ) : null,
  );
  const foretells = answer.pens.some(({ layer }) => layer.by !== 'none');
  return (
    <div className="papers headed-page">
      <div className="headed-page-head">
        <h2>On other papers</h2>
        <span className="headed-page-ways">
          <a href={formatAddress(lastAddress('writing', ink))}>Nibs and papers</a>
          <a href={formatAddress(lastAddress('findings', ink))} aria-keyshortcuts="g">
            Tables of findings
          </a>
        </span>
      </div>
      <div className="papers-body">
        {foretells && ground !== null && pen !== null && (
          <PaperChoice {...{ work, answer, pen, ground, picking }} onGround={choose} onPicking={setPicking} />
        )}
        <div className="papers-main">
          {standing.is === 'stale' && (
            <Notice kind="word" action={{ words: 'Measure', run: () => void startMeasuring(ink) }}>
              {staleWords(standing)}
            </Notice>
          )}
          {picking && ground !== null && 'picked' in ground && (
            <Suspense fallback={<p className="field-note">Opening…</p>}>
              <PickOnScan work={work} onLab={(picked) => choose({ picked })} />
            </Suspense>
          )}
          {foretells && ground !== null && pen !== null ? (
            onGround
          ) : (
            <NoOtherPaper
              {...{ ink, answer }}
              next={whatToWrite(work, report)}
              measuring={work.job?.state === 'running'}
            />
          )}
          {pairs.length > 0 && (
            <InTurn turn={1}>
              <TonePart
                ink={work.ink.name}
                pairs={pairs}
                names={names}
                to={({ key }) => formatAddress({ page: 'findings', ink, query: { finding: key } })}
              />
            </InTurn>
          )}
        </div>
      </div>
    </div>
  );
});
