/** A newer program tells more of a scan (a flag, a fault): what came in before is read once more, one after the other. */
import type { Library } from './library.ts';

export async function readScansAnew(library: Library, stop: AbortSignal): Promise<void> {
  for (const hash of library.scansReadByOthers()) {
    if (stop.aborted) return;
    await library.readScanAnew(hash);
  }
}
