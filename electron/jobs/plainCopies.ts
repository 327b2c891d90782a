/**
 * Packed scans, unpacked once into a file of plain rows while they are measured: a part of a PNG or JPEG is reached only by decoding all above it, and a page
 * of twelve regions would be decoded nine times. Memory stays that of a few rows.
 */
import { rm, statfs } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ScanInfo } from '../scans/scanInfo.ts';
import { copyPlain, plainBytes } from '../view/original.ts';
import { newCopiesFolder } from './copiesFolder.ts';
import type {
  CalibrateResult,
  CalibrateTask,
  FilmResult,
  FilmTask,
  OverlayTask,
  PaperResult,
  PaperTask,
  RegionResult,
  RegionTask,
  TaskRunner,
} from './tasks.ts';

/** Smaller ones are decoded in a fifth of a second. */
const LEAST_PX = 4e6;
/** Of the disk for temporary files, left free beside a copy. */
const SPARE_BYTES = 1e9;

export class PlainCopies implements TaskRunner {
  readonly #runner: TaskRunner;
  readonly #copies = new Map<string, Promise<string | null>>();
  #folder: Promise<string> | null = null;
  #made = 0;

  constructor(runner: TaskRunner) {
    this.#runner = runner;
  }

  async calibrate(task: CalibrateTask, signal?: AbortSignal): Promise<CalibrateResult> {
    const white = task.white && { ...task.white, info: await this.#unpacked(task.white.info) };
    return this.#runner.calibrate({ ...task, white, info: await this.#unpacked(task.info) }, signal);
  }
  async paper(task: PaperTask, signal?: AbortSignal): Promise<PaperResult> {
    return this.#runner.paper({ ...task, info: await this.#unpacked(task.info) }, signal);
  }
  async region(task: RegionTask, signal?: AbortSignal): Promise<RegionResult> {
    return this.#runner.region({ ...task, info: await this.#unpacked(task.info) }, signal);
  }
  film(task: FilmTask, signal?: AbortSignal): Promise<FilmResult> {
    return this.#runner.film(task, signal);
  }
  async overlay(task: OverlayTask, signal?: AbortSignal): Promise<Uint8Array> {
    return this.#runner.overlay({ ...task, info: await this.#unpacked(task.info) }, signal);
  }

  /** The copies go; whoever asks again makes new ones. */
  async close(): Promise<void> {
    const [folder, copies] = [this.#folder, [...this.#copies.values()]];
    this.#folder = null;
    this.#copies.clear();
    await Promise.all(copies);
    // A folder that could not be made is none to remove: what was measured without copies is as good.
    const made = await folder?.catch(() => null);
    if (made) await rm(made, { recursive: true, force: true }).catch(() => {});
  }

  async #unpacked(info: ScanInfo): Promise<ScanInfo> {
    // A packed TIFF is unpacked strip by strip, wherever one begins.
    if (info.format === 'tiff' || info.widthPx * info.heightPx < LEAST_PX) return info;
    const copy = this.#copies.get(info.file) ?? this.#copy(info);
    this.#copies.set(info.file, copy);
    const unpacked = await copy;
    return unpacked === null ? info : { ...info, unpacked };
  }

  /** Null: no room for one, or the scan cannot be read, which those who decode it say better. */
  async #copy(info: ScanInfo): Promise<string | null> {
    // Taken before anything is waited for: copies of several scans are begun at once, and none may be written over another.
    const name = `${this.#made++}.tif`;
    try {
      const disk = await statfs(tmpdir());
      if (disk.bavail * disk.bsize < plainBytes(info) + SPARE_BYTES) return null;
      this.#folder ??= newCopiesFolder();
      const copy = join(await this.#folder, name);
      await copyPlain(info.file, info, copy);
      return copy;
    } catch {
      return null;
    }
  }
}
