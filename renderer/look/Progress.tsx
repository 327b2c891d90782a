import { ProgressBar } from 'react-aria-components';

export interface ProgressProps {
  /** What goes on, in words. */
  readonly label: string;
  readonly done: number;
  /** 0: not known yet. */
  readonly total: number;
  /** Behind the words: '4 of 20'. */
  readonly words?: string;
}

export function Progress({ label, done, total, words }: ProgressProps) {
  const known = total > 0;
  return (
    <ProgressBar
      className="progress"
      aria-label={label}
      value={known ? done : 0}
      maxValue={known ? total : 1}
      isIndeterminate={!known}
      {...(words !== undefined && { valueLabel: words })}
      {...(!known && { 'data-indeterminate': true })}
    >
      <span className="progress-words">
        <span title={label}>{label}</span>
        {words !== undefined && <span>{words}</span>}
      </span>
      <span className="progress-track" style={{ display: 'block' }}>
        <span
          className="progress-done"
          style={{ display: 'block', ...(known && { width: `${Math.min(100, (100 * done) / total)}%` }) }}
        />
      </span>
    </ProgressBar>
  );
}
