import { useState } from 'react';
import { cancel } from '../api/store.ts';
import { announce } from '../look/announce.ts';
import { Button } from '../look/Button.tsx';

export interface CancelJobProps {
  readonly job: string;
  /** For screen readers where several could be meant: 'Cancel measuring Curlew Midnight'. */
  readonly label?: string;
}

/** Stops a measurement; what it measured until then is kept. It answers at once, though a running step takes its time to end. */
export function CancelJob({ job, label }: CancelJobProps) {
  const [asked, setAsked] = useState<string | null>(null);
  const isAsked = asked === job;
  const stop = async (): Promise<void> => {
    setAsked(job);
    const problem = await cancel(job);
    if (problem === null) return;
    setAsked(null);
    announce(problem.message);
  };
  return (
    <Button
      isDisabled={isAsked}
      onPress={() => void stop()}
      {...(label !== undefined && !isAsked && { 'aria-label': label })}
    >
      {isAsked ? 'Cancelling…' : 'Cancel'}
    </Button>
  );
}
