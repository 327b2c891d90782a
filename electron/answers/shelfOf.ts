/** All inks, and the papers and nibs that the library knows. */
import type { Shelf } from '../backend/api.ts';
import type { Measuring } from '../jobs/measuring.ts';
import type { Library } from '../library/library.ts';
import { inkCardOf } from './workOf.ts';

export function shelfOf(library: Library, measuring: Measuring): Shelf {
  return {
    inks: library.inks().map((row) => inkCardOf(library, measuring, row)),
    papers: library.papers(),
    nibs: library.nibs(),
  };
}
