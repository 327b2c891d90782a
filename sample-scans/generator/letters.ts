/** Single-line cursive letters: the Hershey "Script 1-stroke" font as carried by the npm package hersheytext (MIT; see README). */
import hershey from 'hersheytext/hersheytext.min.json' with { type: 'json' };

export type Stroke = readonly (readonly [x: number, y: number])[];

/** Font units: x-height from y = 13 down to the baseline y = 22. */
export const FONT = { xTop: 13, baseline: 22, xHeight: 9, space: 9 } as const;

export interface Letter {
  /** What the pen draws in one go, in order. */
  readonly body: readonly Stroke[];
  /** Dots and cross bars, drawn when the word is done. */
  readonly marks: readonly Stroke[];
  /** Where the next letter begins. */
  readonly advance: number;
}

const FIRST_CODE = 33;
const made = new Map<string, Letter>();

export function letter(character: string): Letter {
  const known = made.get(character);
  if (known) return known;
  const entry = hershey.scripts.chars[character.charCodeAt(0) - FIRST_CODE];
  if (!entry) throw new Error(`No letter for "${character}": the script font has the printable ASCII characters only.`);
  const strokes = entry.d
    .split('M')
    .filter((part) => part.trim() !== '')
    .map(readStroke);
  const body: Stroke[] = [];
  const marks: Stroke[] = [];
  for (const stroke of strokes) (isMark(character, stroke) ? marks : body).push(stroke);
  const right = Math.max(...strokes.flat().map((p) => p[0]));
  // Capitals lean over their neighbour: what counts is where they stand, not where they reach.
  const low = Math.max(
    ...strokes
      .flat()
      .filter((p) => p[1] >= FONT.xTop)
      .map((p) => p[0]),
  );
  const lower = /[a-z]/.test(character);
  const built: Letter = {
    body: body.length > 0 ? body : [],
    marks: marks.map((m) => (isDot(m) ? dash(m) : m)),
    advance: lower ? right : Math.max(low + 1.5, right - 1.6),
  };
  made.set(character, built);
  return built;
}

function readStroke(text: string): Stroke {
  return text
    .replace('L', ' ')
    .trim()
    .split(/\s+/)
    .map((pair) => {
      const [x, y] = pair.split(',').map(Number);
      return [x, y] as const;
    });
}

function isMark(character: string, stroke: Stroke): boolean {
  return isDot(stroke) || (character === 't' && stroke.length === 2 && stroke[0][1] === stroke[1][1]);
}

/** The font draws a dot as a tiny closed diamond. */
function isDot(stroke: Stroke): boolean {
  const xs = stroke.map((p) => p[0]);
  const ys = stroke.map((p) => p[1]);
  return stroke.length > 3 && Math.max(...xs) - Math.min(...xs) <= 2 && Math.max(...ys) - Math.min(...ys) <= 2;
}

/** A hand makes a dot by a short touch downwards. */
function dash(dot: Stroke): Stroke {
  const x = dot.reduce((sum, p) => sum + p[0], 0) / dot.length;
  const y = dot.reduce((sum, p) => sum + p[1], 0) / dot.length;
  return [
    [x + 0.1, y - 0.35],
    [x, y],
    [x - 0.15, y + 0.35],
  ];
}
