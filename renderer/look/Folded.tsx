import { type ReactNode, useState } from 'react';

export interface FoldedProps {
  readonly summary: ReactNode;
  /** @default 'folded' */
  readonly className?: string;
  /** How its line looks: the thing to do here, or words. */
  readonly kind?: 'strong' | 'plain';
  readonly children: ReactNode;
}

/** A line that unfolds. What is under it is drawn when it is first asked for. */
export function Folded({ summary, className = 'folded', kind, children }: FoldedProps) {
  const [asked, setAsked] = useState(false);
  return (
    <details
      className={className}
      onToggle={(event) => {
        if (event.currentTarget.open) setAsked(true);
      }}
    >
      <summary {...(kind && { 'data-kind': kind })}>{summary}</summary>
      {asked && children}
    </details>
  );
}
