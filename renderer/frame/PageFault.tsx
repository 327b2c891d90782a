import { Component, type ReactNode } from 'react';
import { getHello } from '../api/client.ts';
import { hasUnsaved } from '../api/store.ts';
import { Notice } from '../look/Notice.tsx';
import { isPartLost } from './partLost.ts';

interface State {
  readonly fault: Error | null;
  /** Why loading again has to wait. */
  readonly waits: string | null;
}

/** A fault in one page leaves the way and the other pages standing. */
export class PageFault extends Component<{ readonly children: ReactNode }, State> {
  override state: State = { fault: null, waits: null };

  static getDerivedStateFromError(fault: Error): State {
    return { fault, waits: null };
  }

  override render(): ReactNode {
    const { fault, waits } = this.state;
    if (!fault) return this.props.children;
    if (isPartLost(fault)) {
      return (
        <div className="page-fault">
          <Notice action={{ words: 'Load the window again', run: () => void this.loadAgain() }}>
            This page did not come: Wetline was stopped, or brought up to date, since this window was opened. Nothing is
            lost; load the window again, and the page opens where you are.{waits !== null && ` ${waits}`}
          </Notice>
        </div>
      );
    }
    return (
      <div className="page-fault">
        <Notice action={{ words: 'Open the page again', run: () => this.setState({ fault: null }) }}>
          This page has a fault and was closed: {fault.message}. What is in the library is untouched.
        </Notice>
      </div>
    );
  }

  /** Not into the browser's own page of errors, and not away from what is not saved yet. */
  private async loadAgain(): Promise<void> {
    try {
      await getHello();
    } catch {
      this.setState({ waits: 'Wetline does not answer yet: start it, then press this again.' });
      return;
    }
    if (hasUnsaved()) this.setState({ waits: 'A change is not saved yet: see to that first, above.' });
    else window.location.reload();
  }
}
