/** The kinds of page on which ink is looked for: what paper, what is printed on it, what ink, what light. */
import type { PaperClass } from '../../sample-scans/generator/paper.ts';

export type PrintPattern = 'ruled' | 'squared' | 'dotted';

export interface PageKind {
  readonly name: string;
  readonly words: string;
  /** 'black': near-black card; 'flecked': grey recycled paper with fibres and specks of other colours. */
  readonly paper: PaperClass | 'black' | 'flecked';
  readonly print?: PrintPattern;
  /** The print has the ink's own colour, paler. */
  readonly ownColour?: boolean;
  readonly ink: 'ordinary' | 'yellow' | 'black' | 'none';
  /** Words beside the writing that are not this ink. */
  readonly label?: 'printed' | 'pencilled';
  /** The bed's light is uneven, and a shadow falls in from a side, as beside a book's spine. */
  readonly shadow?: boolean;
  readonly crease?: boolean;
  /** Least intersection over union that is aimed at, at 600 dpi; null where there is no ink. */
  readonly goal: number | null;
}

export const PAGE_KINDS: readonly PageKind[] = [
  { name: 'white', words: 'bright white, plain', paper: 'brightWhite', ink: 'ordinary', goal: 0.95 },
  { name: 'ivory', words: 'ivory, plain', paper: 'ivory', ink: 'ordinary', goal: 0.95 },
  { name: 'coloured', words: 'dyed green, plain', paper: 'green', ink: 'ordinary', goal: 0.95 },
  { name: 'flecked', words: 'recycled, with flecks', paper: 'flecked', ink: 'ordinary', goal: 0.95 },
  { name: 'ruled', words: 'ruled, with a margin line', paper: 'ivory', print: 'ruled', ink: 'ordinary', goal: 0.95 },
  { name: 'squared', words: 'squared', paper: 'brightWhite', print: 'squared', ink: 'ordinary', goal: 0.95 },
  { name: 'dotted', words: 'dot grid', paper: 'brightWhite', print: 'dotted', ink: 'ordinary', goal: 0.95 },
  {
    name: 'own-colour-ruled',
    words: 'ruled in the ink’s own colour',
    paper: 'brightWhite',
    print: 'ruled',
    ownColour: true,
    ink: 'ordinary',
    goal: 0.85,
  },
  {
    name: 'own-colour-dotted',
    words: 'dot grid in the ink’s own colour',
    paper: 'ivory',
    print: 'dotted',
    ownColour: true,
    ink: 'ordinary',
    goal: 0.85,
  },
  { name: 'yellow-on-white', words: 'light yellow ink on white', paper: 'brightWhite', ink: 'yellow', goal: 0.85 },
  { name: 'yellow-on-grey', words: 'yellow ink on grey', paper: 'grey', ink: 'yellow', goal: 0.85 },
  {
    name: 'yellow-squared',
    words: 'light yellow ink on squared paper',
    paper: 'brightWhite',
    print: 'squared',
    ink: 'yellow',
    goal: 0.85,
  },
  { name: 'dark-on-black', words: 'black ink on near-black card', paper: 'black', ink: 'black', goal: 0.85 },
  {
    name: 'shadowed',
    words: 'uneven light, shadow of a spine',
    paper: 'ivory',
    shadow: true,
    ink: 'ordinary',
    goal: 0.95,
  },
  { name: 'creased', words: 'creased twice', paper: 'brightWhite', crease: true, ink: 'ordinary', goal: 0.95 },
  {
    name: 'creased-yellow',
    words: 'light yellow ink, creased and shadowed',
    paper: 'brightWhite',
    crease: true,
    shadow: true,
    ink: 'yellow',
    goal: 0.85,
  },
  {
    name: 'pencilled',
    words: 'pencilled label beside',
    paper: 'brightWhite',
    ink: 'ordinary',
    label: 'pencilled',
    goal: 0.95,
  },
  {
    name: 'printed-label',
    words: 'printed label beside',
    paper: 'ivory',
    ink: 'ordinary',
    label: 'printed',
    goal: 0.95,
  },
  { name: 'ruled-blank', words: 'ruled, nothing written', paper: 'ivory', print: 'ruled', ink: 'none', goal: null },
  {
    name: 'squared-blank',
    words: 'squared, nothing written',
    paper: 'brightWhite',
    print: 'squared',
    ink: 'none',
    goal: null,
  },
  {
    name: 'dotted-blank',
    words: 'dot grid, nothing written',
    paper: 'brightWhite',
    print: 'dotted',
    ink: 'none',
    goal: null,
  },
];
