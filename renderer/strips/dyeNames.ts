/** What a strip's dyes are called: by their bands and the names of their colours. Pure. */
import type { TracedFinding } from '../../electron/backend/api.ts';

/** ISCC–NBS name of a band's colour; null: it has none. */
export function colourNameOf(strip: string, band: number, findings: readonly TracedFinding[]): string | null {
  const found = findings.find(
    ({ finding: { quantity, subject } }) =>
      quantity === 'bandColour' &&
      subject.band === band &&
      subject.regions.length === 1 &&
      subject.regions[0] === strip,
  );
  return found?.finding.verdict ?? null;
}

/** 'band 3, vivid blue'. */
export function dyeName(strip: string, band: number, findings: readonly TracedFinding[]): string {
  const name = colourNameOf(strip, band, findings);
  return name === null ? `band ${band}` : `band ${band}, ${name}`;
}
