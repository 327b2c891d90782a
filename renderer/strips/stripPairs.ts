/** Fresh and dried strips that are held against each other, band by band. Pure. */
import type { QuantityName } from '../../analysis/quantity.ts';
import type { StripDetail, TracedFinding } from '../../electron/backend/api.ts';

export interface RunPair {
  readonly fresh: string;
  readonly dried: string;
}

export interface JoinedBands {
  /** Numbers on their own strips; null: none of the other strip is this dye. */
  readonly fresh: number | null;
  readonly dried: number | null;
  /** How far R_F went from fresh to dried. */
  readonly shift: TracedFinding | null;
}

/** As the findings pair them. */
export function runPairs(findings: readonly TracedFinding[]): readonly RunPair[] {
  return findings.flatMap(({ finding: { quantity, subject } }) =>
    quantity === 'runShift.originRetained' && subject.regions.length === 2
      ? [{ fresh: subject.regions[0], dried: subject.regions[1] }]
      : [],
  );
}

export function pairFinding(
  findings: readonly TracedFinding[],
  quantity: QuantityName,
  { fresh, dried }: RunPair,
  band?: number,
): TracedFinding | null {
  return (
    findings.find(
      ({ finding: { quantity: q, subject } }) =>
        q === quantity && subject.band === band && subject.regions.join('\n') === `${fresh}\n${dried}`,
    ) ?? null
  );
}

/** Which band of one is which of the other, as `runShift` tells it: by where each band went. */
export function joinedBands(
  pair: RunPair,
  findings: readonly TracedFinding[],
  fresh: StripDetail,
  dried: StripDetail,
): readonly JoinedBands[] {
  const taken = new Set<number>();
  const joined = fresh.bands.map(({ band, rF }): JoinedBands => {
    const shift = pairFinding(findings, 'runShift', pair, band);
    const value = shift?.finding.value;
    if (rF === null || typeof value !== 'number') return { fresh: band, dried: null, shift };
    const partner = dried.bands.find((other) => other.rF !== null && Math.abs(other.rF - rF - value) < ROUNDED);
    if (partner) taken.add(partner.band);
    return { fresh: band, dried: partner?.band ?? null, shift };
  });
  const alone = dried.bands.filter(({ band }) => !taken.has(band));
  return [...joined, ...alone.map(({ band }): JoinedBands => ({ fresh: null, dried: band, shift: null }))];
}

/** Findings carry six digits. */
const ROUNDED = 1e-4;
