/** Findings into the library as regions come, so that nothing that was shown is lost; pairs with the whole. */
import { findingKey } from '../../analysis/report/findingKey.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import type { Library } from '../library/library.ts';
import type { SavedFinding } from '../library/results.ts';
import type { Standing } from '../answers/standing.ts';
import { isInksOwn, rememberFilms } from './keptFilms.ts';
import { rememberMeasured } from './measuredRegion.ts';
import type { MeasureOutcome } from './measureSheet.ts';
import { pathGroups } from './pathFindings.ts';
import type { RegionResult, RegionTask } from './tasks.ts';

/** Regions that come closer together than this are kept together, ms. */
const GATHER_MS = 250;

export class FindingsKeeper {
  readonly #library: Library;
  readonly #standing: Standing;
  readonly #onKept: (regions: readonly string[]) => void;
  readonly #waiting = new Map<string, readonly Quantity[]>();
  #timer: NodeJS.Timeout | null = null;

  /** @param standing by first ids */
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
  whole({ findings, films, problems }: MeasureOutcome): void {
    this.#stop();
    const regions = [...this.#waiting.keys()];
    this.#waiting.clear();
    const traced = findings.map((f) => this.#withFit(this.#traced(f), films));
    rememberFilms(this.#library, traced, films);
    this.#save(traced, problems);
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
    const before = this.#library.findingsByFirstIds(ink);
    const kept = before?.findings ?? [];
    const come = [...this.#waiting.values()].flat().map((f) => this.#traced(f));
    const comeKeys = new Set(come.map(({ key }) => key));
    // What only the whole can tell of a region stays as long as the region is as it was.
    const others = kept.filter(
      (f) => !comeKeys.has(f.key) && (isInksOwn(f.finding) || !isOf(f.finding, this.#waiting) || this.#isAsNow(f)),
    );
    const earlier = new Map(kept.map((f) => [f.key, f]));
    const problems = (before?.problems ?? []).filter((p) => !this.#waiting.has(p.region));
    this.#waiting.clear();
    // A region measured from the same as before has its number through the film already: the map's alone would be a step back.
    this.#save([...others, ...come.map((f) => sameBefore(f, earlier.get(f.key)) ?? f)], problems);
    this.#onKept(regions);
  }

  #isAsNow({ finding, regionKeys }: SavedFinding): boolean {
    return finding.subject.regions.every((id, i) => this.#standing.madeFrom.get(id) === regionKeys[i]);
  }

  #save(findings: readonly SavedFinding[], problems: MeasureOutcome['problems']): void {
    const { ink } = this.#standing;
    const before = new Map(this.#library.findingsByFirstIds(ink)?.findings.map((f) => [f.key, f]));
    this.#library.saveRun(ink, {
      measuredAt: new Date().toISOString(),
      findings: findings.map((f) => asBefore(f, before.get(f.key))),
      problems,
    });
  }

  /** A number through the film holds as long as all samples of its fit do. */
  #withFit(saved: SavedFinding, films: MeasureOutcome['films']): SavedFinding {
    const { finding, trace } = saved;
    if (finding.quantity === 'pathDistance')
      return { ...saved, trace: { ...trace, fittedWith: this.#heldAgainst(finding) } };
    if (finding.byMap === undefined && !isInksOwn(finding)) return saved;
    const { regions } = finding.subject;
    const fit = films
      .flatMap(({ inks }) => inks)
      .find(({ points }) => regions.every((id) => points.some((point) => point.region === id)));
    const others = fit?.regions.filter((id) => !regions.includes(id)) ?? [];
    const fittedWith = others.map((region) => ({ region, key: this.#standing.madeFrom.get(region) ?? '' }));
    return { ...saved, trace: { ...trace, fittedWith } };
  }

  /** A sample is the odd one out only among its neighbours: it holds as long as they do. */
  #heldAgainst({ subject }: Quantity): { readonly region: string; readonly key: string }[] {
    const { loaded, madeFrom } = this.#standing;
    const group = pathGroups(loaded.regions).find((regions) => regions.some(({ id }) => id === subject.regions[0]));
    return (group ?? [])
      .filter(({ id }) => id !== subject.regions[0] && madeFrom.has(id))
      .map(({ id }) => ({ region: id, key: madeFrom.get(id) ?? '' }));
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

/** The earlier finding, if it is of the same pixels by the same program; null: it is not. */
function sameBefore(now: SavedFinding, before: SavedFinding | undefined): SavedFinding | null {
  return before !== undefined && before.regionKeys.join() === now.regionKeys.join() ? before : null;
}

/** The same number of the same pixels keeps the date at which it was measured. */
function asBefore(now: SavedFinding, before: SavedFinding | undefined): SavedFinding {
  const same =
    before !== undefined &&
    before.regionKeys.join() === now.regionKeys.join() &&
    before.finding.method === now.finding.method;
  return same ? { ...now, trace: { ...now.trace, measuredAt: before.trace.measuredAt } } : now;
}
