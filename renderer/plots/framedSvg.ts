/**
 * A saved plot goes out alone, to where no page stands around it: its title goes above it, below it what its lines and marks mean and
 * through what its colours came, so that nobody publishes figures from an uncalibrated scan without knowing.
 */

/** One line of a plot's key: words, with a piece of the line that they stand for where there is one. */
export interface KeyEntry {
  readonly words: string;
  /** Markup of an `<svg>`, SAMPLE_WIDTH by SAMPLE_HEIGHT px. */
  readonly sample: string | null;
}

export interface PlotFrame {
  readonly title: string;
  readonly key: readonly KeyEntry[];
  /** Last, for instance 'Colours through the calibration (good).'; '' leaves it out. */
  readonly note: string;
}

const MARGIN = 16;
const TITLE = { size: 17, height: 36 } as const;
const LINE = { size: 13, height: 18 } as const;
const SAMPLE_WIDTH = 34;
const SAMPLE_HEIGHT = 10;
const GAP = 6;
/** Mean width of a letter, as a share of the letters' size; somewhat too wide, so that no line runs out. */
const LETTER = 0.52;
const INK = '#1c1c1c';

/** @param svg The plot's `<svg>` of that size. @returns One around it, and how high it is now, px. */
export function framedSvg(
  svg: string,
  { width, height }: { readonly width: number; readonly height: number },
  { title, key, note }: PlotFrame,
): { readonly svg: string; readonly height: number } {
  const room = width - 2 * MARGIN;
  const titleLines = wrapped(title, room, TITLE.size);
  const top = TITLE.height + (titleLines.length - 1) * TITLE.size * 1.25;
  const parts = titleLines.map((line, i) => text(line, MARGIN, 24 + i * TITLE.size * 1.25, TITLE.size, 600));
  parts.push(`<g transform="translate(0 ${top})">${svg}</g>`);
  let baseline = top + height + LINE.height;
  const entries = note === '' ? key : [...key, { words: note, sample: null }];
  for (const { words, sample } of entries) {
    const indent = sample === null ? 0 : SAMPLE_WIDTH + GAP;
    if (sample !== null) {
      parts.push(`<g transform="translate(${MARGIN} ${baseline - SAMPLE_HEIGHT})">${sample}</g>`);
    }
    for (const line of wrapped(words, room - indent, LINE.size)) {
      parts.push(text(line, MARGIN + indent, baseline, LINE.size, 400));
      baseline += LINE.height;
    }
  }
  const below = Math.ceil(baseline - LINE.height + MARGIN);
  return { svg: `<svg viewBox="0 0 ${width} ${below}">${parts.join('')}</svg>`, height: below };
}

/** Words onto lines of a width in px; a word that is longer than a line is broken. */
function wrapped(words: string, widthPx: number, size: number): readonly string[] {
  const most = Math.floor(widthPx / (size * LETTER));
  const lines = [''];
  for (const word of words.split(/\s+/).flatMap((whole) => whole.match(new RegExp(`.{1,${most}}`, 'gu')) ?? [])) {
    const last = lines[lines.length - 1];
    if (last === '') lines[lines.length - 1] = word;
    else if (last.length + 1 + word.length <= most) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}

function text(words: string, x: number, y: number, size: number, weight: number): string {
  const style = `font-family="'Source Sans 3 Variable', sans-serif" font-size="${size}" font-weight="${weight}" fill="${INK}"`;
  // The same shifts as `finish` gives to a plot's own letters.
  const [first, ...others] = escaped(words).split('R_F');
  const lowered = others.map(
    (after) =>
      `R<tspan dy="0.25em" font-size="75%">F</tspan><tspan dy="-0.1875em">${after === '' ? ' ' : after}</tspan>`,
  );
  const inside = [first, ...lowered].join('');
  return `<text x="${x}" y="${y}" ${style}>${inside}</text>`;
}

function escaped(words: string): string {
  return words.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}
