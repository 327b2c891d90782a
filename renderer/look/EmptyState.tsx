import type { ReactNode } from 'react';

export interface EmptyStateProps {
  /** One sentence: what to do first. */
  readonly sentence: string;
  /** One drawing, decoration for those who do not see it: the sentence says it too. */
  readonly drawing?: ReactNode;
  /** One button. */
  readonly children?: ReactNode;
}

/** Nothing is here yet; this says what to do about it. */
export function EmptyState({ sentence, drawing, children }: EmptyStateProps) {
  return (
    <div className="empty">
      {drawing}
      <p className="empty-sentence">{sentence}</p>
      {children}
    </div>
  );
}
