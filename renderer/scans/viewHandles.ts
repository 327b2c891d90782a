/** The viewers on the bench, by scan: what the page's keys and lists move. */
import type { ViewHandle } from '../viewer/ScanViewer.tsx';

export class ViewHandles {
  private readonly handles = new Map<string, ViewHandle>();

  keep(scan: string, handle: ViewHandle | null): void {
    if (handle) this.handles.set(scan, handle);
    else this.handles.delete(scan);
  }

  of(scan: string): ViewHandle | null {
    return this.handles.get(scan) ?? null;
  }
}
