/** Scans as the window sees them: tiles, overviews, CIELAB rasters and probes, in their right colours. */
import { Piscina } from 'piscina';
import type { DoseSteps } from '../../analysis/measure/opacity/otherGround.ts';
import type { BoxPx } from '../scans/readScan.ts';
import { ScanError } from '../scans/scanError.ts';
import type {
  From,
  LabAnswer,
  PictureBytes,
  ProbeAnswer,
  ThumbnailSize,
  ViewAnswer,
  ViewScan,
  ViewTask,
} from './messages.ts';
import { type CachedScan, removeUnfinished } from './pyramidCache.ts';
import { Pyramids } from './pyramids.ts';
import { Recent } from './recent.ts';
import { Turns, untilAborted } from './turns.ts';
import { workerThread } from '../workerThread.ts';

export type { PictureBytes, ThumbnailSize, ViewColours, ViewScan } from './messages.ts';

export interface ViewOptions {
  /** Where pyramids are kept; it may be emptied at any time. */
  readonly cacheFolder: string;
  /** What they may take together. @default 4 GB */
  readonly mostCacheBytes?: number;
}
export const VIEW_DEFAULTS = { mostCacheBytes: 4_000_000_000 } satisfies Partial<ViewOptions>;

/** Requests in the worker at once: while one picture is packed by the image library, the next is calculated. */
const AT_ONCE = 4;
/** A tile has 0.2 MB at most, an overview 3: what was just seen is seen again on the next page, without any work. */
const TILES_HELD = 150;
const OVERVIEWS_HELD = 6;
/** Twice as dense as most screens they have 0.8 MB each: those of one page of writing. */
const THUMBNAILS_HELD = 24;

/**
 * Its worker is its own, so that looking never waits for measuring. A scan's pyramid is made once, however many ask, while
 * what can be seen without it is shown; where none can be made (a full disk), everything comes from the scan, more slowly.
 * All methods: @throws ScanError when the scan is gone or the place lies outside; the reason of `signal` when it is aborted.
 */
export class View {
  readonly #pool: Piscina;
  readonly #folder: string;
  readonly #turns = new Turns(AT_ONCE);
  readonly #pyramids: Pyramids<ViewScan>;
  /** On their way before anyone asked. */
  readonly #ahead = new Recent<Promise<PictureBytes>>(2);
  readonly #tiles = new Recent<PictureBytes>(TILES_HELD);
  readonly #thumbnails = new Recent<PictureBytes>(THUMBNAILS_HELD);
  readonly #overviews = new Recent<PictureBytes>(OVERVIEWS_HELD);

  constructor(options: ViewOptions) {
    const used = { ...VIEW_DEFAULTS, ...options };
    this.#folder = used.cacheFolder;
    removeUnfinished(this.#folder);
    this.#pool = new Piscina({
      ...workerThread('view'),
      minThreads: 1,
      maxThreads: 1,
      concurrentTasksPerWorker: AT_ONCE + 1,
    });
    this.#pyramids = new Pyramids(async (scan) => {
      const { cacheFolder: folder, mostCacheBytes: mostBytes } = used;
      const { is } = await this.#run<null>({ task: 'pyramid', scan, folder, mostBytes });
      return is === 'done';
    });
  }

  /** PNG in sRGB of one tile; level 0 is the whole scan in one, the last level full resolution. */
  async tile(scan: ViewScan, level: number, column: number, row: number, signal?: AbortSignal): Promise<PictureBytes> {
    const name = `${pictureName(scan)} ${level} ${column} ${row}`;
    const task = (from: From): ViewTask => ({ ...this.#at(scan, from), task: 'tile', level, column, row });
    return this.#tiles.get(name) ?? this.#tiles.set(name, await this.#look(scan, task, signal));
  }

  /** PNG in sRGB of the whole scan, its longest side 1024 px or less; quick on a scan that was never looked at. */
  async overview(scan: ViewScan, signal?: AbortSignal): Promise<PictureBytes> {
    const name = pictureName(scan);
    const held = this.#overviews.get(name);
    if (held) return held;
    const made = this.#ahead.get(name);
    if (made) return signal ? await untilAborted(made, signal) : await made;
    const task = { ...this.#at(scan, 'scan'), task: 'overview' } as const;
    return this.#overviews.set(name, this.#done(await this.#ask<PictureBytes>(task, signal)));
  }

  /** Makes one that will be asked for. */
  async overviewAhead(scan: ViewScan): Promise<void> {
    const name = pictureName(scan);
    try {
      await this.#ahead.set(name, this.overview(scan));
    } finally {
      this.#ahead.remove(name);
    }
  }

  /** Decodes what an overview will be made of: its colours may come later. */
  async decode(scan: CachedScan): Promise<void> {
    this.#done(await this.#ask<null>({ task: 'decode', scan, folder: this.#folder }));
  }

  /**
   * L*, a*, b* × LAB_RASTER_SCALE of a box of the scan, averaged in linear light to so many columns: no finer than the scan, and
   * no more than four million pixels.
   */
  lab(scan: ViewScan, boxPx: BoxPx, columns: number, signal?: AbortSignal): Promise<LabAnswer> {
    return this.#look(scan, (from) => ({ ...this.#at(scan, from), task: 'lab', boxPx, columns }), signal);
  }

  /** The same box as a PNG in sRGB. */
  crop(scan: ViewScan, boxPx: BoxPx, columns: number, signal?: AbortSignal): Promise<PictureBytes> {
    return this.#look(scan, (from) => ({ ...this.#at(scan, from), task: 'crop', boxPx, columns }), signal);
  }

  /** PNG in sRGB of the piece of a box with the most ink in it. */
  async thumbnail(
    scan: ViewScan,
    dpi: number,
    boxPx: BoxPx,
    size: ThumbnailSize,
    signal?: AbortSignal,
  ): Promise<PictureBytes> {
    const name = [pictureName(scan), dpi, ...boxPx, size.mmPerPixel, size.columns, size.rows].join(' ');
    const task = (from: From): ViewTask => ({ ...this.#at(scan, from), task: 'thumbnail', dpi, boxPx, size });
    return this.#thumbnails.get(name) ?? this.#thumbnails.set(name, await this.#look(scan, task, signal));
  }

  /** The same as it would look if its ink lay on another ground. */
  thumbnailLaidOn(
    scan: ViewScan,
    dpi: number,
    boxPx: BoxPx,
    size: ThumbnailSize,
    laidOn: DoseSteps,
  ): Promise<PictureBytes> {
    return this.#look(scan, (from) => ({ ...this.#at(scan, from), task: 'thumbnail', dpi, boxPx, size, laidOn }));
  }

  /** Device values as scanned and the colour of a disc; a radius of 0 is one pixel. */
  async probe(scan: ViewScan, xPx: number, yPx: number, radiusPx: number): Promise<ProbeAnswer> {
    return this.#done(await this.#ask<ProbeAnswer>({ ...this.#at(scan, 'scan'), task: 'probe', xPx, yPx, radiusPx }));
  }

  /** Why a file's embedded profile cannot be used, one clause; null: it can. */
  async profileProblem(file: string): Promise<string | null> {
    return this.#done(await this.#ask<string | null>({ task: 'profile', file }));
  }

  async close(): Promise<void> {
    await this.#pool.destroy();
  }

  #at(scan: ViewScan, from: From) {
    return { scan, folder: this.#folder, from } as const;
  }

  /** From what is there; else once the pyramid stands; else from the scan itself. */
  async #look<T>(scan: ViewScan, task: (from: From) => ViewTask, signal?: AbortSignal): Promise<T> {
    const first = await this.#ask<T>(task('pyramid'), signal);
    if (first.is !== 'wants-pyramid') {
      if (first.is === 'done' && !first.pyramid) void this.#pyramids.of(scan);
      return this.#done(first);
    }
    const made = this.#pyramids.of(scan);
    const stands = await (signal ? untilAborted(made, signal) : made);
    const second = await this.#ask<T>(task(stands ? 'pyramid' : 'scan'), signal);
    return this.#done(second.is === 'wants-pyramid' ? await this.#ask<T>(task('scan'), signal) : second);
  }

  #ask<T>(task: ViewTask, signal?: AbortSignal): Promise<ViewAnswer<T>> {
    return this.#turns.take(() => this.#run<T>(task), signal);
  }

  /** The worker's switch (worker.ts) answers each task with its own value; the pool itself knows of no types. */
  async #run<T>(task: ViewTask): Promise<ViewAnswer<T>> {
    const answer: ViewAnswer<T> = await this.#pool.run(task);
    return answer;
  }

  #done<T>(answer: ViewAnswer<T>): T {
    if (answer.is === 'done') return answer.value;
    if (answer.is === 'refused') throw new ScanError(answer.code, answer.message);
    throw new Error('the worker asked for a pyramid where none was to be had');
  }
}

/** Where the light of the bed is looked up depends on the resolution. */
function pictureName({ hash, dpi, colours }: ViewScan): string {
  return `${hash} ${colours.key} ${dpi}`;
}
