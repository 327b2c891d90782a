import type { Flag } from '../../analysis/quantity.ts';
import { FLAG_ADVICE } from '../../analysis/report/flagAdvice.ts';
import { FLAG_WORDS } from '../../analysis/report/flagWords.ts';
import { capital } from '../../analysis/report/words.ts';

/** What to mind about a number, in words, with what to do about it. */
export function Flags({ flags }: { readonly flags: readonly Flag[] }) {
  if (flags.length === 0) return null;
  return (
    <section className="reading-flags" aria-label="What to mind">
      <h3>What to mind</h3>
      <ul>
        {flags.map((flag) => (
          <li key={flag}>
            <strong>{capital(FLAG_WORDS[flag])}.</strong> {FLAG_ADVICE[flag].means} {FLAG_ADVICE[flag].advice}
          </li>
        ))}
      </ul>
    </section>
  );
}
