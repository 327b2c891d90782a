/** Every target calibrated once for all that needs it: measuring, pictures of scans, the target's own page. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import type { Library } from '../library/library.ts';
import type { CalibrationAbout } from '../library/results.ts';
import { scanInfo } from '../scans/scanInfo.ts';
import type { LoadedTarget } from '../sheet/loadedSheet.ts';
import type { StandingTarget } from '../answers/standing.ts';
import { calibrateTarget } from './calibrateSheet.ts';
import { JobError } from './jobError.ts';
import { SharedWork } from './sharedWork.ts';
import type { CalibrateResult, TaskRunner } from './tasks.ts';

export interface MadeCalibration {
  readonly key: string;
  readonly calibration: Calibration;
  readonly pointsPx: readonly Point[];
  /** Null: made by a version that did not keep it. */
  readonly about: CalibrationAbout | null;
  /** ISO 8601. */
  readonly madeAt: string;
}

/** Why a calibration cannot be made: the code says what can be done about it ('target-not-found', …). */
export interface CalibrationProblem {
  readonly code: string;
  readonly problem: string;
}

export class Calibrations {
  readonly #library: Library;
  readonly #onMade: (key: string) => void;
  readonly #shared = new SharedWork<CalibrateResult>();
  /** Key → why it cannot be made. Known while the program runs: the next start tries again. */
  readonly #impossible = new Map<string, CalibrationProblem>();

  /** @param onMade told when a calibration was made or turned out to be impossible */
  constructor(library: Library, onMade: (key: string) => void) {
    this.#library = library;
    this.#onMade = onMade;
  }

  problem(key: string): CalibrationProblem | null {
    return this.#impossible.get(key) ?? null;
  }

  /** From the library without any work; null: not made yet. */
  made(key: string): MadeCalibration | null {
    const row = this.#library.calibration(key);
    return row && { key, calibration: row.calibration, pointsPx: row.pointsPx, about: row.about, madeAt: row.madeAt };
  }

  /** @throws JobError when it is impossible; whatever `signal` was aborted with. */
  async make(target: StandingTarget, runner: TaskRunner, signal?: AbortSignal): Promise<CalibrateResult> {
    const { key, loaded, named, scan, whiteHash } = target;
    try {
      return await this.#shared.wait(
        key,
        async (stop) => {
          const result = await calibrateTarget(loaded, runner, stop);
          this.#library.saveCalibration(key, {
            scanHash: scan.hash,
            layoutHash: named.layout,
            referenceHash: named.reference,
            pointsPx: result.pointsPx,
            calibration: result.calibration,
            whiteHash,
            about: await aboutOf(loaded, result),
            madeAt: new Date().toISOString(),
          });
          this.#impossible.delete(key);
          this.#onMade(key);
          return result;
        },
        signal,
      );
    } catch (error) {
      if (signal?.aborted || !(error instanceof JobError)) throw error;
      const problem = this.#library.named(error.message);
      const { code } = error;
      if (this.#impossible.get(key)?.problem !== problem) {
        this.#impossible.set(key, { code, problem });
        this.#onMade(key);
      }
      throw new JobError(error.code, problem);
    }
  }
}

/** @throws nothing for a scan that came in before files were asked for their scanner: it is asked now. */
export async function aboutOf(
  { info, layout }: Pick<LoadedTarget, 'info' | 'layout'>,
  { located, scannerBlurMm }: Pick<CalibrateResult, 'located' | 'scannerBlurMm'>,
): Promise<CalibrationAbout> {
  const { bits, format, icc, iccHash } = info;
  const { scanner = null, scannedAt = null } = info.scanner === undefined ? await scanInfo(info.file) : info;
  return {
    located,
    scannerBlurMm,
    scanner,
    scannedAt,
    kind: { bits, format, icc, iccHash },
    layoutName: layout.name,
  };
}
