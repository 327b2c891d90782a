/** Which way a colour was told: by the film fit or by the target's map. A report is shown by one of them, never by a mixture. */
import { byMapAlone } from '../../analysis/measure/byMapAlone.ts';
import type { Flag, Quantity, QuantityName } from '../../analysis/quantity.ts';
import type { FindingsReport } from '../../electron/backend/api.ts';

export type Way = 'film' | 'map';

/** What a page shows: each colour by the fit where it reaches, all by the map, or both beside each other. */
export const TOLD = ['film', 'map', 'both'] as const;
export type Told = (typeof TOLD)[number];

/** Beginnings of the quantities that are told from colours of ink. */
const OF_COLOURS: readonly QuantityName[] = [
  'inkColour',
  'inkDensity',
  'shading',
  'nibShading',
  'swabVariation',
  'toneShift',
];

/** Null: it is told from no colour of ink, or cannot be told. */
export function wayOf({ quantity, value, byMap }: Pick<Quantity, 'quantity' | 'value' | 'byMap'>): Way | null {
  if (byMap !== undefined) return 'film';
  const ofColour = OF_COLOURS.some((start) => quantity === start || quantity.startsWith(`${start}.`));
  return ofColour && value !== null ? 'map' : null;
}

/** Whether any figure of the ink is by the film fit, so that saying which is worth a mark. */
export function hasFilm({ findings }: Pick<FindingsReport, 'findings'>): boolean {
  return findings.some(({ finding }) => finding.byMap !== undefined);
}

/** Flags that say no more than why it was the map. */
const OF_WAY: readonly Flag[] = ['by-map', 'few-doses', 'lab-alone', 'film-not-converged'];

/** Without what its way says already. */
export function withoutWay(flags: readonly Flag[]): readonly Flag[] {
  return flags.filter((flag) => !OF_WAY.includes(flag));
}

/** All of a report as the target's map alone tells it. */
export function reportByMap(report: FindingsReport): FindingsReport {
  return {
    ...report,
    findings: report.findings.map((traced) =>
      traced.finding.byMap === undefined ? traced : { ...traced, finding: byMapAlone(traced.finding) },
    ),
  };
}
