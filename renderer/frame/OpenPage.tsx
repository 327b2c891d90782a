import { Component, type ReactNode, Suspense, lazy, memo } from 'react';
import { type Address, type InkPageName, SHELF } from '../address/address.ts';
import { goTo } from '../address/useAddress.ts';
import { useWork } from '../api/store.ts';
import { Notice } from '../look/Notice.tsx';

const ShelfPage = lazy(() => import('../shelf/ShelfPage.tsx'));
const ScansPage = lazy(() => import('../scans/ScansPage.tsx'));
const FindingsPage = lazy(() => import('../findings/FindingsPage.tsx'));
const WritingPage = lazy(() => import('../writing/WritingPage.tsx'));
const OtherPapersPage = lazy(() => import('../opacity/OtherPapersPage.tsx'));
const StripsPage = lazy(() => import('../strips/StripsPage.tsx'));
const DyesPage = lazy(() => import('../strips/DyesPage.tsx'));
const CalibrationPage = lazy(() => import('../calibration/CalibrationPage.tsx'));

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
  if (work.state === 'failed') {
    return (
      <div className="page-fault">
        <Notice action={{ words: 'Go to the shelf', run: () => goTo(SHELF) }}>{work.problem.message}</Notice>
      </div>
    );
  }
  const Page = INK_PAGES[page];
  return <Page ink={ink} />;
}

/** A fault in one page leaves the way and the other pages standing. */
class PageFault extends Component<{ readonly children: ReactNode }, { readonly fault: Error | null }> {
  override state: { readonly fault: Error | null } = { fault: null };

  static getDerivedStateFromError(fault: Error): { fault: Error } {
    return { fault };
  }

  override render(): ReactNode {
    if (!this.state.fault) return this.props.children;
    return (
      <div className="page-fault">
        <Notice action={{ words: 'Open the page again', run: () => this.setState({ fault: null }) }}>
          This page has a fault and was closed: {this.state.fault.message}. What is in the library is untouched.
        </Notice>
      </div>
    );
  }
}
