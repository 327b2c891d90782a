import type { ReactNode } from 'react';
import { Button } from './Button.tsx';

export interface NoticeProps {
  /** One line: what was found, what was expected, what to do. */
  readonly children: ReactNode;
  /** 'problem' is read out at once; 'word' quietly. */
  readonly kind?: 'problem' | 'word';
  /** The doing, when the program can. */
  readonly action?: { readonly words: string; readonly run: () => void };
  readonly onDismiss?: () => void;
}

/** A problem, or a word, beside the thing that it concerns. */
export function Notice({ children, kind = 'problem', action, onDismiss }: NoticeProps) {
  return (
    <div className="notice" data-kind={kind} role={kind === 'problem' ? 'alert' : 'status'}>
      <p>{children}</p>
      {action && <Button onPress={action.run}>{action.words}</Button>}
      {onDismiss && (
        <Button kind="plain" onPress={onDismiss}>
          Dismiss
        </Button>
      )}
    </div>
  );
}
