/** Findings into the library as regions come, so that nothing that was shown is lost; pairs with the whole. */
import { findingKey } from '../../analysis/report/findingKey.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import type { Library } from '../library/library.ts';
import type { SavedFinding } from '../library/results.ts';
import type { Standing } from '../answers/standing.ts';
import { rememberMeasured } from './measuredRegion.ts';
import type { MeasureOutcome } from './measureSheet.ts';
import type { RegionResult, RegionTask } from './tasks.ts';

/** Regions that come closer together than this are kept together, ms. */
const GATHER_MS = 250;

export class FindingsKeeper {
  readonly #library: Library;
  readonly #standing: Standing;
  readonly #onKept: (regions: readonly string[]) => void;
  readonly #waiting = new Map<string, readonly Quantity[]>();
  #timer: NodeJS.Timeout | null = null;

  constructor(library: Library, standing: Standing, onKept: (regions: readonly string[]) => void) {
    this.#library = library;
    this.#standing = standing;
    this.#onKept = onKept;
  }

  region(result: RegionResult, task: RegionTask, taskKey: string): void {
    const madeFrom = this.#standing.madeFrom.get(result.id);
    if (madeFrom === undefined) return;
    rememberMeasured(this.#library, madeFrom, { taskKey, boxPx: task.boxPx });
    this.#waiting.set(result.id, result.quantities);
    this.#timer ??= setTimeout(() => this.#keepWaiting(), GATHER_MS);
  }

  /** All of it: what is not in the outcome any more is gone. */
  whole({ findings, problems }: MeasureOutcome): void {
    this.#stop();
    const regions = [...this.#waiting.keys()];
    this.#waiting.clear();
    this.#save(
      findings.map((f) => this.#traced(f)),
      problems,
    );
    this.#onKept(regions);
  }

  /** What has come so far stays, also of a job that was stopped. */
  close(): void {
    this.#stop();
    if (this.#waiting.size > 0) this.#keepWaiting();
  }

  #stop(): void {
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = null;
  }

  #keepWaiting(): void {
    this.#timer = null;
    const regions = [...this.#waiting.keys()];
    const { ink } = this.#standing;
    const before = this.#library.findings(ink);
    const others = (before?.findings ?? []).filter((f) => !isOf(f.finding, this.#waiting));
    const come = [...this.#waiting.values()].flat().map((f) => this.#traced(f));
    const problems = (before?.problems ?? []).filter((p) => !this.#waiting.has(p.region));
    this.#waiting.clear();
    this.#save([...others, ...come], problems);
    this.#onKept(regions);
  }

  #save(findings: readonly SavedFinding[], problems: MeasureOutcome['problems']): void {
    const { ink } = this.#standing;
    const before = new Map(this.#library.findings(ink)?.findings.map((f) => [f.key, f]));
    this.#library.saveRun(ink, {
      measuredAt: new Date().toISOString(),
      findings: findings.map((f) => asBefore(f, before.get(f.key))),
      problems,
    });
  }

  #traced(finding: Quantity): SavedFinding {
    const { scans, loaded, madeFrom } = this.#standing;
    const { regions } = finding.subject;
    const lie = regions.flatMap((id) => {
      const region = loaded.regions.find((r) => r.id === id);
      const scan = region && scans.get(region.scan);
      return scan ? [scan] : [];
    });
    return {
      key: findingKey(finding),
      finding,
      trace: {
        scans: lie.map(({ scan }) => ({ id: scan.id, hash: scan.hash })),
        calibration: lie[0]?.target?.key ?? null,
        measuredAt: new Date().toISOString(),
      },
      regionKeys: regions.map((id) => madeFrom.get(id) ?? ''),
    };
  }
}

/** Of one region alone, and that region among these. */
function isOf({ subject }: Quantity, regions: ReadonlyMap<string, unknown>): boolean {
  return subject.regions.length === 1 && regions.has(subject.regions[0]);
}

/** The same number of the same pixels keeps the date at which it was measured. */
function asBefore(now: SavedFinding, before: SavedFinding | undefined): SavedFinding {
  const same =
    before !== undefined &&
    before.regionKeys.join() === now.regionKeys.join() &&
    before.finding.method === now.finding.method;
  return same ? { ...now, trace: { ...now.trace, measuredAt: before.trace.measuredAt } } : now;
}
