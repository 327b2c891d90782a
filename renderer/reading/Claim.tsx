import { useMemo } from 'react';
import type { Names } from '../../analysis/report/names.ts';
import { Button } from '../look/Button.tsx';
import { Swatch } from '../look/Swatch.tsx';
import { claimLines } from './claimLines.ts';
import { Words } from './Words.tsx';
import './claim.css';

export interface ClaimProps {
  /** What the ink is called: a name that holds a hue is a claim where its maker makes no other. */
  readonly ink: string;
  readonly claim: string | null;
  readonly names: Names;
  readonly onChoose: (key: string) => void;
}

/** What the ink looks like thin and thick, whether its hue is still seen, and whether it reads as what it is called. */
export function Claim({ ink, claim, names, onChoose }: ClaimProps) {
  const lines = useMemo(() => claimLines(names, ink, claim), [names, ink, claim]);
  if (lines.length === 0) return null;
  return (
    <section className="claim" aria-label="What colour it reads as">
      <ul>
        {lines.map(({ text, key, lab }) => (
          <li key={text}>
            {lab && (
              <span aria-hidden="true">
                <Swatch lab={lab} size={1.25} label={text} />
              </span>
            )}
            {key === null ? (
              <span>
                <Words>{text}</Words>
              </span>
            ) : (
              <Button kind="plain" onPress={() => onChoose(key)}>
                <Words>{text}</Words>
              </Button>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}
