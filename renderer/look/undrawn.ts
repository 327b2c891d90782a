/** Signs of people's names that no font of this computer has: the browser draws empty boxes for them. */

/** Our own faces have these. */
const OURS = /[\s\u{20}-\u{52F}\u{2000}-\u{206F}\u{2190}-\u{22FF}]/u;
/** They join or vary the signs beside them and have no shape of their own. */
const SHAPELESS = /\p{M}|\p{Default_Ignorable_Code_Point}|\p{Emoji_Modifier}/u;
/** Never a character: what it looks like, a sign without a font looks like. */
const NEVER = '\u{10FFFF}';
const SIDE = 24;

const known = new Map<string, boolean>();

/** Signs that our own faces may lack, each once, in the order of the text. */
export function signsInDoubt(text: string): readonly string[] {
  return [...new Set(text)].filter((sign) => !OURS.test(sign) && !SHAPELESS.test(sign));
}

/** Those of them that are not drawn. Where the browser shows numbers instead of boxes, none. */
export function undrawnSigns(text: string): readonly string[] {
  return signsInDoubt(text).filter((sign) => {
    const is = known.get(sign) ?? looksLikeNone(sign);
    known.set(sign, is);
    return is;
  });
}

/** '[U+58A8]' for each sign that cannot be drawn here, as pictures of the command line have it. */
export function withoutUndrawn(text: string, undrawn: readonly string[] = undrawnSigns(text)): string {
  return undrawn.reduce((left, sign) => left.replaceAll(sign, `[${numberOf(sign)}]`), text);
}

/** One line: which, and what to do; null when all can be drawn. */
export function undrawnWords(undrawn: readonly string[]): string | null {
  if (undrawn.length === 0) return null;
  const first = undrawn.slice(0, 3).map(numberOf).join(', ');
  const more = undrawn.length > 3 ? ` and ${undrawn.length - 3} more` : '';
  const one = undrawn.length === 1;
  return (
    `No font on this computer has ${one ? 'a sign' : 'some signs'} of the names here (${first}${more}): ` +
    `${one ? 'a box stands in its place' : 'boxes stand in their place'}. The names are kept whole; install a font that has ${one ? 'it' : 'them'}, and load the window again.`
  );
}

function numberOf(sign: string): string {
  return `U+${(sign.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}`;
}

let none: string | null = null;

function looksLikeNone(sign: string): boolean {
  none ??= drawn(NEVER);
  return none !== null && drawn(sign) === none;
}

/** The picture as text, to be compared; null: this browser gives no canvas. */
function drawn(sign: string): string | null {
  const canvas = document.createElement('canvas');
  canvas.width = canvas.height = 2 * SIDE;
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (!context) return null;
  context.font = `${SIDE}px ${getComputedStyle(document.body).fontFamily}`;
  context.textBaseline = 'middle';
  context.fillText(sign, 4, SIDE);
  return context.getImageData(0, 0, canvas.width, canvas.height).data.join();
}
