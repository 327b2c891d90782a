/** Plots out of the window: as SVG, as PNG, onto the clipboard. */
import { announce } from '../look/announce.ts';
import { withoutUndrawn } from '../look/undrawn.ts';
import { GREEK_RANGE, SAVED_FACE } from './pictureFonts.ts';

export function download(content: Blob, name: string): void {
  const url = URL.createObjectURL(content);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  // The browser has begun to read it by then; at once would be too soon for some.
  setTimeout(() => {
    URL.revokeObjectURL(url);
  }, 10_000);
}

export function svgBlob(svg: string): Blob {
  return new Blob([svg], { type: 'image/svg+xml' });
}

/** Pixels of a PNG per CSS pixel. */
const PNG_SCALE = 2;

/** @param svg of a file as `standaloneSvg` makes it; width and height px. @throws when the browser cannot draw it */
export async function pngOf(svg: string, width: number, height: number): Promise<Blob> {
  // A picture goes where no font can mend it.
  const drawn = await drawnWithLetters(withoutUndrawn(svg), width, height);
  const { canvas, context } = canvasOf(width, height);
  context.drawImage(drawn, 0, 0);
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => {
      if (blob) resolve(taggedPng(blob));
      else reject(new Error('The browser could not make a PNG of the plot. Save it as SVG instead.'));
    }, 'image/png');
  });
}

/** Below the picture, cut off again: a letter of each weight and script, px. */
const SAMPLE = 40;
const LETTER_WAIT_MS = 30;
/** A browser that cannot read the fonts takes others after three seconds. */
const LETTER_TRIES = 200;

/**
 * A picture counts as decoded before the fonts in it are: until then its letters are left out, and nothing tells when they come. So it is
 * drawn until samples of them are seen.
 */
async function drawnWithLetters(svg: string, width: number, height: number): Promise<HTMLCanvasElement> {
  const letters = svg.includes(GREEK_RANGE) ? ['M', 'Ω'] : ['M'];
  const samples = [600, 400]
    .flatMap((weight) => letters.map((letter) => ({ weight, letter })))
    .map(({ weight, letter }, i) => {
      const style = `font-size="28" font-weight="${weight}" font-family="'${SAVED_FACE}'"`;
      return { left: i * SAMPLE, markup: `<text x="${i * SAMPLE}" y="${height + 30}" ${style}>${letter}</text>` };
    });
  const picture = new Image(width, height + SAMPLE);
  const inside = svg.replace(/^\s*<\?xml[^>]*\?>/, '') + samples.map(({ markup }) => markup).join('');
  const whole = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height + SAMPLE}">${inside}</svg>`;
  picture.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(whole)}`;
  await picture.decode();
  const { canvas, context } = canvasOf(width, height + SAMPLE);
  const isSeen = ({ left }: { readonly left: number }): boolean => {
    const [x, y, side] = [left, height, SAMPLE].map((length) => Math.round(length * PNG_SCALE));
    return context.getImageData(x, y, side, side).data.some((byte, i) => i % 4 === 3 && byte > 0);
  };
  for (let i = 0; i < LETTER_TRIES; i++) {
    context.clearRect(0, 0, canvas.width, canvas.height);
    context.drawImage(picture, 0, 0, canvas.width, canvas.height);
    if (samples.every(isSeen)) return canvas;
    await new Promise((resolve) => {
      setTimeout(resolve, LETTER_WAIT_MS);
    });
  }
  throw new Error('The letters of the plot did not come, so that it was not saved. Save it as SVG, or try again.');
}

function canvasOf(width: number, height: number) {
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(width * PNG_SCALE);
  canvas.height = Math.round(height * PNG_SCALE);
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (!context) throw new Error('This browser gives no canvas to draw on. Save the plot as SVG instead.');
  return { canvas, context };
}

/** Signature and header of a PNG. */
const PNG_HEAD_BYTES = 33;
/** Whole chunks with their sums (PNG 3rd edition, 11.3.2.5 and 11.3.4.3): sRGB, relative colorimetric; 7559 pixels a metre, 192 dpi. */
const PNG_TAGS = Uint8Array.from([
  0x00, 0x00, 0x00, 0x01, 0x73, 0x52, 0x47, 0x42, 0x01, 0xd9, 0xc9, 0x2c, 0x7f, 0x00, 0x00, 0x00, 0x09, 0x70, 0x48,
  0x59, 0x73, 0x00, 0x00, 0x1d, 0x87, 0x00, 0x00, 0x1d, 0x87, 0x01, 0x8f, 0xe5, 0xf1, 0x65,
]);

/** Browsers say neither what a PNG's colours mean nor how large it is: in a text it would come twice as large, and its colours as anybody likes. */
function taggedPng(png: Blob): Blob {
  return new Blob([png.slice(0, PNG_HEAD_BYTES), PNG_TAGS, png.slice(PNG_HEAD_BYTES)], { type: png.type });
}

export async function copyPng(png: Promise<Blob>): Promise<void> {
  await navigator.clipboard.write([new ClipboardItem({ 'image/png': png })]);
  announce('Copied the plot as a picture');
}

/** 'Curlew Midnight, a*b* plane' → 'curlew-midnight-a-b-plane' */
export function fileNameOf(title: string): string {
  const name = title
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[^\p{L}\p{M}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '');
  return name === '' ? 'plot' : name;
}
