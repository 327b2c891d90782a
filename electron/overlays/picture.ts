/** The picture while it is drawn: 8-bit sRGB, three channels, painted on piece by piece so that memory stays small. */
import sharp from 'sharp';
import '../scans/imageLibrary.ts';

export interface Picture {
  /** Row-major, interleaved: red of (x, y) is data[3 * (y * widthPx + x)]. */
  readonly data: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
}

export function newPicture(widthPx: number, heightPx: number, grey: number): Picture {
  return { data: new Uint8Array(3 * widthPx * heightPx).fill(grey), widthPx, heightPx };
}

/** Lays one picture on another; what lies outside is cut. */
export function lay(onto: Picture, piece: Picture, left: number, top: number): void {
  const from = Math.max(0, -left);
  const to = Math.min(piece.widthPx, onto.widthPx - left);
  if (to <= from) return;
  for (let y = Math.max(0, -top); y < piece.heightPx && top + y < onto.heightPx; y++) {
    const row = 3 * y * piece.widthPx;
    const target = 3 * ((top + y) * onto.widthPx + left + from);
    onto.data.set(piece.data.subarray(row + 3 * from, row + 3 * to), target);
  }
}

export function blendPixel(onto: Picture, x: number, y: number, rgb: readonly number[], share: number): void {
  if (x < 0 || y < 0 || x >= onto.widthPx || y >= onto.heightPx) return;
  const i = 3 * (y * onto.widthPx + x);
  for (let c = 0; c < 3; c++) onto.data[i + c] = Math.round(onto.data[i + c] * (1 - share) + rgb[c] * share);
}

/** Each pixel as a square of `times` × `times`. */
export function enlarged(piece: Picture, times: number): Picture {
  if (times === 1) return piece;
  const out = newPicture(piece.widthPx * times, piece.heightPx * times, 0);
  for (let y = 0; y < out.heightPx; y++) {
    for (let x = 0; x < out.widthPx; x++) {
      const from = 3 * (Math.floor(y / times) * piece.widthPx + Math.floor(x / times));
      const to = 3 * (y * out.widthPx + x);
      out.data[to] = piece.data[from];
      out.data[to + 1] = piece.data[from + 1];
      out.data[to + 2] = piece.data[from + 2];
    }
  }
  return out;
}

/**
 * Draws shapes over a part of the picture.
 * @param shapes SVG elements in points. @param box place in the picture, px; one point is `scale` px.
 */
export async function drawShapes(
  onto: Picture,
  shapes: string,
  box: { readonly left: number; readonly top: number; readonly widthPx: number; readonly heightPx: number },
  scale = 1,
): Promise<void> {
  if (shapes === '' || box.widthPx < 1 || box.heightPx < 1) return;
  const { widthPx, heightPx, left, top } = box;
  const svg =
    `<svg xmlns="http://www.w3.org/2000/svg" width="${widthPx}" height="${heightPx}" ` +
    `viewBox="0 0 ${widthPx / scale} ${heightPx / scale}">${shapes}</svg>`;
  const { data, info } = await sharp(Buffer.from(svg), { unlimited: true })
    .ensureAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  for (let y = Math.max(0, -top); y < info.height && top + y < onto.heightPx; y++) {
    for (let x = Math.max(0, -left); x < info.width && left + x < onto.widthPx; x++) {
      const from = 4 * (y * info.width + x);
      const alpha = data[from + 3];
      if (alpha === 0) continue;
      const to = 3 * ((top + y) * onto.widthPx + left + x);
      for (let c = 0; c < 3; c++) {
        onto.data[to + c] = Math.round((onto.data[to + c] * (255 - alpha) + data[from + c] * alpha) / 255);
      }
    }
  }
}

/** Says that the codes are sRGB (chunk sRGB, relative colorimetric), so that viewers do not guess. CRC-32 of its five bytes at the end. */
const SRGB_CHUNK = Buffer.from([0, 0, 0, 1, 0x73, 0x52, 0x47, 0x42, 1, 0xd9, 0xc9, 0x2c, 0x7f]);
const AFTER_HEADER = 33; // signature 8, IHDR 25

export async function toPng({ data, widthPx, heightPx }: Picture): Promise<Buffer> {
  const png = await sharp(data, { raw: { width: widthPx, height: heightPx, channels: 3 } })
    .png({ compressionLevel: 7, palette: false })
    .toBuffer();
  return Buffer.concat([png.subarray(0, AFTER_HEADER), SRGB_CHUNK, png.subarray(AFTER_HEADER)]);
}
