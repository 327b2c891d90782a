/** What the backend answers from. */
import type { Measuring } from '../jobs/measuring.ts';
import type { Library } from '../library/library.ts';
import type { View } from '../view/view.ts';
import type { Hello } from './api.ts';

export interface Host {
  readonly library: Library;
  readonly view: View;
  readonly measuring: Measuring;
  readonly shell: Hello['shell'];
  readonly version: string;
  /** Where the built window lies; null: nowhere. */
  readonly assets: string | null;
  /** Why the sample could not be brought in; null, or absent: it could. */
  readonly sampleProblem?: () => string | null;
  /** Told of every fault that nobody foresaw; absent: nobody is. */
  readonly onDefect?: (error: unknown) => void;
}
