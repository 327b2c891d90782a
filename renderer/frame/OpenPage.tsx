import { Suspense, lazy, memo, useMemo } from 'react';
import { type Address, type InkPageName, SHELF } from '../address/address.ts';
import { goTo } from '../address/useAddress.ts';
import { ownTask } from '../api/ownTask.ts';
import { saveAgain, useWork } from '../api/store.ts';
import { announce } from '../look/announce.ts';
import { Button } from '../look/Button.tsx';
import { Notice } from '../look/Notice.tsx';
import { ColourOrigin, colourOrigin } from '../plots/colourOrigin.ts';
import { putBack } from '../shelf/removedInks.ts';
import { PageFault } from './PageFault.tsx';

/** The large libraries that pages need run each in a task of its own, before the page does. */
const viewer = (): Promise<unknown> => import('../viewer/ScanViewer.tsx');
const plots = (): Promise<unknown> => import('../plots/plotGround.ts');

async function after<T>(libraries: readonly (() => Promise<unknown>)[], page: () => Promise<T>): Promise<T> {
  for (const library of libraries) {
    await library();
    await ownTask();
  }
  return page();
}

const ShelfPage = lazy(() => import('../shelf/ShelfPage.tsx'));
const ScansPage = lazy(() => after([viewer], () => import('../scans/ScansPage.tsx')));
const FindingsPage = lazy(() => after([viewer, plots], () => import('../findings/FindingsPage.tsx')));
const WritingPage = lazy(() => import('../writing/WritingPage.tsx'));
const OtherPapersPage = lazy(() => after([plots], () => import('../opacity/OtherPapersPage.tsx')));
const StripsPage = lazy(() => after([plots], () => import('../strips/StripsPage.tsx')));
const DyesPage = lazy(() => after([plots], () => import('../strips/DyesPage.tsx')));
const CalibrationPage = lazy(() => after([viewer, plots], () => import('../calibration/CalibrationPage.tsx')));

/** The page that the address names. */
export const OpenPage = memo(function OpenPage({ address: { page, ink } }: { readonly address: Address }) {
  return (
    <PageFault key={`${page} ${ink}`}>
      <Suspense fallback={<p className="page-loading">Opening…</p>}>
        {page === 'dyes' ? (
          <DyesPage />
        ) : ink === null || page === 'shelf' ? (
          <ShelfPage />
        ) : (
          <InkPage ink={ink} page={page} />
        )}
      </Suspense>
    </PageFault>
  );
});

async function putBackHere(ink: number): Promise<void> {
  const problem = await putBack(ink);
  announce(problem?.message ?? 'The ink is on the shelf again.');
  // What was done to it here while it was off the shelf.
  if (!problem) saveAgain(ink);
}

const INK_PAGES: Readonly<Record<InkPageName, typeof ScansPage>> = {
  scans: ScansPage,
  findings: FindingsPage,
  writing: WritingPage,
  papers: OtherPapersPage,
  strips: StripsPage,
  calibration: CalibrationPage,
};

function InkPage({ ink, page }: { readonly ink: number; readonly page: InkPageName }) {
  const work = useWork(ink);
  const origin = useMemo(() => (work.state === 'ready' ? colourOrigin(work.value) : ''), [work]);
  if (work.state === 'failed') {
    return (
      <div className="page-fault">
        <Notice action={{ words: 'Go to the shelf', run: () => goTo(SHELF) }}>
          {work.problem.message}
          {work.problem.code === 'no-such-ink' && (
            <>
              {' '}
              <Button kind="plain" onPress={() => void putBackHere(ink)}>
                Put it back
              </Button>
            </>
          )}
        </Notice>
      </div>
    );
  }
  const Page = INK_PAGES[page];
  return (
    <ColourOrigin value={origin}>
      <Page ink={ink} />
    </ColourOrigin>
  );
}
