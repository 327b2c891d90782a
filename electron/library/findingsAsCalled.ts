/** What was found of regions under the ids that they came with, told under those that they have now. */
import { findingKey } from '../../analysis/report/findingKey.ts';
import { calledNow, type DocumentRegion } from './firstId.ts';
import type { FindingOutline, FindingTrace, Run, SavedFinding } from './results.ts';

type Tell<F extends FindingOutline> = (
  found: F,
  subject: F['finding']['subject'],
  fit: Pick<FindingTrace, 'fittedWith'>,
) => F;

/** Each run once for the names that its regions have: whoever keeps an answer asks whether it is of the same run. */
export class FindingsAsCalled<F extends FindingOutline> {
  private readonly tell: Tell<F>;
  private readonly known = new WeakMap<Run<F>, { revision: number; readonly names: string; readonly told: Run<F> }>();

  constructor(tell: Tell<F>) {
    this.tell = tell;
  }

  /** @param revision of the ink, whose regions are asked for once for each */
  told(run: Run<F> | null, revision: number, regionsOf: () => readonly DocumentRegion[]): Run<F> | null {
    if (run === null) return null;
    const known = this.known.get(run);
    if (known?.revision === revision) return known.told;
    const regions = regionsOf();
    const names = JSON.stringify(regions.map(({ id, firstId }) => [id, firstId]));
    const told = known?.names === names ? known.told : called(run, regions, this.tell);
    this.known.set(run, { revision, names, told });
    return told;
  }
}

export const findingAsCalled: Tell<SavedFinding> = (found, subject, fit) => {
  const finding = { ...found.finding, subject };
  return { ...found, key: findingKey(finding), finding, trace: { ...found.trace, ...fit } };
};

export const outlineAsCalled: Tell<FindingOutline> = (found, subject, fit) => ({
  ...found,
  finding: { ...found.finding, subject },
  trace: fit,
});

/** The same run where nothing was renamed. Findings of a region that is gone are left out where another bears its name by now. */
function called<F extends FindingOutline>(run: Run<F>, regions: readonly DocumentRegion[], tell: Tell<F>): Run<F> {
  const now = calledNow(regions);
  if (now === null) return run;
  return {
    ...run,
    findings: run.findings.flatMap((found) => {
      const { subject } = found.finding;
      const of = subject.regions.map(now);
      if (of.some(({ isGone }) => isGone)) return [];
      const fittedWith = found.trace.fittedWith?.map(({ region, key }) => ({ region: now(region).id, key }));
      return [tell(found, { ...subject, regions: of.map(({ id }) => id) }, fittedWith ? { fittedWith } : {})];
    }),
    problems: run.problems.flatMap(({ region, message }) => {
      const { id, isGone } = now(region);
      return isGone ? [] : [{ region: id, message }];
    }),
  };
}
