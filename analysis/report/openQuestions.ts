/** What a reviewer asks of an ink and nothing that was scanned can tell yet, each with what to do about it. */
import type { Names, RegionName } from './names.ts';

export interface OpenQuestion {
  readonly asks: string;
  readonly todo: string;
}

/** In the order in which a review asks; none once every question has something to be told from. */
export function openQuestions({ regions }: Names): readonly OpenQuestion[] {
  const all = [...regions.values()];
  const written = all.filter(({ kind }) => kind === 'strokes');
  const inked = all.filter(({ kind }) => kind === 'strokes' || kind === 'swab');
  const strips = all.filter(({ kind }) => kind === 'strip');
  const questions: (OpenQuestion | null)[] = [
    several(written, ({ nib }) => nib)
      ? null
      : { asks: 'Which nib suits it', todo: 'write the same lines with a second nib' },
    several(inked, ({ paper }) => paper)
      ? null
      : { asks: 'What coloured paper does to it', todo: 'write the same lines on a second paper' },
    all.some(({ kind }) => kind === 'reverse')
      ? null
      : { asks: 'Ghosting and bleed-through', todo: 'scan the back of the page and draw a Reverse box there' },
    aboutStrips(strips),
  ];
  return questions.filter((one) => one !== null);
}

function aboutStrips(strips: readonly RegionName[]): OpenQuestion | null {
  if (strips.length === 0) {
    return {
      asks: 'Its dyes, and what of them survives water',
      todo: 'run one strip from fresh and one from dried ink, and scan both',
    };
  }
  return strips.some(({ run }) => run === 'dried')
    ? null
    : { asks: 'What survives water', todo: 'run a second strip from ink that has dried, and scan it' };
}

function several(regions: readonly RegionName[], of: (region: RegionName) => string | null): boolean {
  return new Set(regions.map(of)).size > 1;
}
