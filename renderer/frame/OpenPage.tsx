import { Component, type ReactNode, Suspense, lazy } from 'react';
import type { Address } from '../address/address.ts';
import { Notice } from '../look/Notice.tsx';

const ShelfPage = lazy(() => import('../shelf/ShelfPage.tsx'));
const ScansPage = lazy(() => import('../scans/ScansPage.tsx'));
const FindingsPage = lazy(() => import('../findings/FindingsPage.tsx'));

/** The page that the address names. */
export function OpenPage({ address: { page, ink } }: { readonly address: Address }) {
  return (
    <PageFault key={`${page} ${ink}`}>
      <Suspense fallback={<p className="page-loading">Opening…</p>}>
        {page === 'scans' && ink !== null && <ScansPage ink={ink} />}
        {page === 'findings' && ink !== null && <FindingsPage ink={ink} />}
        {(page === 'shelf' || ink === null) && <ShelfPage />}
      </Suspense>
    </PageFault>
  );
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
