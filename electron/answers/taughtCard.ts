/** The card, taught by a target with known values that lies in the same scan, and kept as a reference to choose. */
import { taughtReferenceText } from '../../analysis/calibrate/teach.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { TaughtCard } from '../backend/api.ts';
import { JobError } from '../jobs/jobError.ts';
import type { Measuring } from '../jobs/measuring.ts';
import type { CalibrateTask } from '../jobs/tasks.ts';
import { BUILT_IN_LAYOUT_FILES, bytesOnce } from '../library/builtInFiles.ts';
import type { Library } from '../library/library.ts';
import { keepBuiltIns, TAUGHT } from './knownTargets.ts';
import { standingOf, type StandingTarget } from './standing.ts';

/**
 * @param scans Ids of scans that each hold the card and a known target; the first is the one that was asked about
 * @param now milliseconds since 1970
 * @throws JobError 'no-target', 'card-is-target', or what teaching throws
 */
export async function taughtCard(
  library: Library,
  measuring: Measuring,
  ink: number,
  scans: readonly string[],
  signal?: AbortSignal,
  now: () => number = Date.now,
): Promise<TaughtCard> {
  const standing = standingOf(library, ink);
  const known = [...new Set(scans)].map((scan) => {
    const target = standing.targets.find((t) => t.named.scan === scan);
    if (target) return target;
    const [why] = standing.loaded.targetProblems;
    throw new JobError(
      'no-target',
      why ??
        `Scan “${scan}”: no target is said to lie on it; expected one with known values beside the card. Say which target lies there, then teach.`,
    );
  });
  const card = cardLayout();
  refuseCardAsTarget(known, card.layout.name);
  const { reference, warnings } = await measuring.teach({ scans: known.map(asTask), card: card.layout }, signal);
  const day = new Date(now());
  const by = known[0].loaded.layout.name;
  const text = taughtReferenceText(reference, { known: by, date: isoDay(day) });
  const name = `${TAUGHT}${dayWords(day)} from ${by.replaceAll(/[/\\:*?"<>|]+/g, '-')}.txt`;
  const kept = await library.addFile(bytesOnce(new TextEncoder().encode(text)), name);
  if (kept.problem !== null) throw new JobError('taught-unreadable', kept.problem);
  await keepBuiltIns(library, [card.hash]);
  const rows = [...reference.patches].map(([id, { lab, u }]) => ({
    id,
    lab: [lab[0], lab[1], lab[2]] as const,
    u: [u?.[0] ?? 0, u?.[1] ?? 0, u?.[2] ?? 0] as const,
  }));
  const lengths = rows.map(({ u }) => Math.hypot(...u)).toSorted((a, b) => a - b);
  const medianU = lengths[lengths.length >> 1] ?? 0;
  return {
    reference: { hash: kept.hash, name: kept.name },
    layout: card.hash,
    patches: rows.length,
    medianU,
    largestU: lengths.at(-1) ?? 0,
    words:
      `Half of its ${rows.length} patches are known to ± ${fixed(2 * medianU, 1)} ΔE*ab or better. ` +
      `That is the price of the card against “${by}” itself, and it goes into the ± of everything measured through it; ` +
      `teach it again when the printer, ink or paper changes, and after half a year.`,
    warnings: [...warnings, ...(reference.notes ?? [])],
    rows,
  };
}

function asTask({ loaded }: StandingTarget): Omit<CalibrateTask, 'task'> {
  const { info, dpi, layout, reference, pointsMm, white } = loaded;
  return { info, dpi, layout, reference, pointsMm: pointsMm ?? null, white: white ?? null };
}

function cardLayout() {
  const card = BUILT_IN_LAYOUT_FILES.find(({ name }) => name === 'card');
  if (!card) throw new Error('the card is not built in');
  return card;
}

function refuseCardAsTarget(targets: readonly StandingTarget[], cardName: string): void {
  const own = targets.find(({ loaded }) => loaded.layout.name === cardName);
  if (!own) return;
  throw new JobError(
    'card-is-target',
    `Scan “${own.named.scan}”: the target that is known there is the card itself; expected another target beside it, one with ` +
      `known values of its own. Scan both together and say where the other one lies.`,
  );
}

/** The person's own day, not Greenwich's. */
function isoDay(day: Date): string {
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${day.getFullYear()}-${two(day.getMonth() + 1)}-${two(day.getDate())}`;
}

function dayWords(day: Date): string {
  return day.toLocaleDateString('en-GB', { day: 'numeric', month: 'short', year: 'numeric' });
}
