/** An ink on two papers, edge to edge, each upon its own paper's colour. */
import type { Names } from '../../analysis/report/names.ts';
import { sentence } from '../../analysis/report/sentences.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import { capital } from '../../analysis/report/words.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { TracedFinding } from '../../electron/backend/api.ts';
import { screenGamut, withinGamut } from '../look/gamut.ts';
import { cssLab } from '../look/Swatch.tsx';
import { keptTogether } from '../reading/keptTogether.ts';
import { Words } from '../reading/Words.tsx';
import type { TonePair, ToneSample } from './toneData.ts';

export interface SwatchPairProps {
  readonly pair: TonePair;
  readonly sample: ToneSample;
  readonly names: Names;
  /** Address of a finding. */
  readonly to: (traced: TracedFinding) => string;
}

export function SwatchPair({ pair, sample, names, to }: SwatchPairProps) {
  const halves = [
    { paper: pair.papers[0], ink: sample.from },
    { paper: pair.papers[1], ink: sample.to },
  ];
  return (
    <li className="tone-sample">
      <h4>{capital(sample.label)}</h4>
      <div className="tone-halves">
        {halves.map(({ paper, ink }) => (
          <div key={ink.region}>
            <InkOnPaper ink={ink.lab} paper={paper.colour?.lab ?? null} />
            <p className="tone-caption">
              on {paper.name}
              <small>{labText(ink.lab, ink.u)}</small>
              {!withinGamut(ink.lab, screenGamut()) && <small>cannot be shown exactly</small>}
            </p>
          </div>
        ))}
      </div>
      {[sample.shift, sample.adapted].map(
        (traced) =>
          traced && (
            <p key={traced.key} className="tone-words">
              <a href={to(traced)} data-finding={traced.key}>
                <Words>{sentence(traced.finding, names)}</Words>
              </a>
            </p>
          ),
      )}
    </li>
  );
}

export interface InkOnPaperProps {
  readonly ink: LabValue | null;
  /** Null: not known; the ink then lies on the panel. */
  readonly paper: LabValue | null;
}

/** A square of the ink's colour upon its paper's; the words beside it say what it is. */
export function InkOnPaper({ ink, paper }: InkOnPaperProps) {
  return (
    <span className="ink-on-paper" aria-hidden="true" {...(paper && { style: { backgroundColor: cssLab(paper) } })}>
      {ink && <span style={{ backgroundColor: cssLab(ink) }} />}
    </span>
  );
}

/** 'L* 31.2 ± 0.4, a* 10.0 ± 0.6, b* −24.8 ± 0.6' */
export function labText(lab: LabValue, u: LabValue | null): string {
  const parts = ['L*', 'a*', 'b*'].map(
    (name, i) => `${name} ${fixed(lab[i], 1)} ± ${u === null ? '?' : fixed(2 * u[i], 1)}`,
  );
  return keptTogether(parts.join(', '));
}
