import { useMemo } from 'react';
import { inkSummary } from '../../analysis/report/inkSummary.ts';
import type { Names } from '../../analysis/report/names.ts';
import { Button } from '../look/Button.tsx';

export interface SummaryProps {
  readonly ink: string;
  readonly names: Names;
  readonly onChoose: (key: string) => void;
}

/** The ink in a few sentences while no finding is chosen; each leads to the finding that it tells. */
export function Summary({ ink, names, onChoose }: SummaryProps) {
  const parts = useMemo(() => inkSummary(names), [names]);
  return (
    <>
      <h2 className="reading-title">{ink}</h2>
      {parts.length === 0 && (
        <p>Nothing is measured yet. Draw regions on the scans, then measure; what they say will stand here.</p>
      )}
      {parts.map(({ title, lines }) => (
        <section key={title} className="reading-part" aria-label={title}>
          <h3>{title}</h3>
          <ul>
            {lines.map(({ text, key }) => (
              <li key={key}>
                <Button kind="plain" onPress={() => onChoose(key)}>
                  {text}
                </Button>
              </li>
            ))}
          </ul>
        </section>
      ))}
    </>
  );
}
