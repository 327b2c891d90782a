/** A piece of a person's own writing as it would look on another ground. */
import type { Rendering } from '../backend/opacityAnswer.ts';
import { contentKey } from '../jobs/contentKey.ts';
import type { BoxPx } from '../scans/readScan.ts';
import { Recent } from '../view/recent.ts';
import type { PictureBytes, ThumbnailSize, View, ViewScan } from '../view/view.ts';

/** Pictures of some hundred kilobytes: who goes through the papers of a shelf comes back to some of them. */
const MOST_KEPT = 24;

/** Pictures that were just asked for, by all that makes them. */
export class ElsewherePictures {
  readonly #kept = new Recent<Promise<PictureBytes>>(MOST_KEPT);

  /** PNG in sRGB. @throws ScanError when the box lies outside the scan. */
  picture(
    view: View,
    scan: ViewScan,
    dpi: number,
    boxPx: BoxPx,
    size: ThumbnailSize,
    { from, to }: Rendering,
  ): Promise<PictureBytes> {
    const name = contentKey({ scan: scan.hash, colours: scan.colours.key, dpi, boxPx, size, from, to });
    const kept = this.#kept.get(name);
    if (kept) return kept;
    // Nobody's signal ends it: others may wait for the same picture.
    const made = view.thumbnailLaidOn(scan, dpi, boxPx, size, { from, to });
    // What failed is made anew for whoever asks next.
    made.catch(() => this.#kept.remove(name));
    return this.#kept.set(name, made);
  }
}
