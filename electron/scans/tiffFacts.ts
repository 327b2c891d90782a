/** What a TIFF says of its pixels beyond what the image library tells. Source: TIFF 6.0, tags 254, 258, 259, 262, 301, 319, 338 and 339; its technical note 1, tag 330. */
import { EndsEarly, withBytes } from './fileBytes.ts';
import { tiffDirectory } from './tiffDirectory.ts';

export interface TiffFacts {
  /** Of the first page: a small picture of another one. */
  readonly isPreview: boolean;
  /** Pages that hang below the first, where raw files keep the picture itself; not among the pages that the image library counts. */
  readonly pagesBelow: number;
  readonly isPalette: boolean;
  /** Lightness and two colour differences, which the decoder turns into red, green and blue only where they are packed as JPEG. */
  readonly isYcc: boolean;
  /** Its fourth channel is an alpha that the colours were multiplied by. */
  readonly isMultiplied: boolean;
  /** Of the first page: a transfer function or primaries beside the pixels. */
  readonly statesColours: boolean;
  /** '12-bit', '32-bit floating point'; of whole numbers without a sign of 1, 8 or 16 bits null. */
  readonly oddDepth: string | null;
}

const PALETTE = 3;
const YCC = 6;
const JPEG = [6, 7];
const ASSOCIATED_ALPHA = 1;
const USUAL_BITS = [1, 8, 16];
/** Tag 339; 1 and 4 are whole numbers and left open. */
const SAMPLES: Readonly<Record<number, string>> = { 2: ' signed', 3: ' floating point', 5: ' complex', 6: ' complex' };

/** null: it cannot be told, as of a damaged file. */
export async function tiffFacts(file: string): Promise<TiffFacts | null> {
  try {
    return await withBytes(file, async (read) => {
      const directory = await tiffDirectory(read);
      if (directory === null) return null;
      const first = async (tag: number) => (await directory.numbers(tag))[0];
      const bits = [...new Set(await directory.numbers(258))];
      const samples = SAMPLES[(await first(339)) ?? 1] ?? '';
      return {
        isPreview: ((await first(254)) ?? 0) % 2 === 1,
        pagesBelow: (await directory.numbers(330)).length,
        isPalette: (await first(262)) === PALETTE,
        isYcc: (await first(262)) === YCC && !JPEG.includes((await first(259)) ?? 1),
        isMultiplied: (await first(338)) === ASSOCIATED_ALPHA,
        statesColours: [301, 319].some((tag) => directory.has(tag)),
        oddDepth:
          samples === '' && bits.every((b) => USUAL_BITS.includes(b)) ? null : `${bits.join('-, ')}-bit${samples}`,
      };
    });
  } catch (error) {
    if (error instanceof EndsEarly || error instanceof RangeError) return null;
    throw error;
  }
}
