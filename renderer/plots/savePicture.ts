/** Plots out of the window: as SVG, as PNG, onto the clipboard. */
import { announce } from '../look/announce.ts';
import { withoutUndrawn } from '../look/undrawn.ts';

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

/** @param scale Pixels of the picture per CSS pixel. @throws when the browser cannot draw it */
export async function pngOf(svg: string, width: number, height: number, scale: number): Promise<Blob> {
  const picture = new Image(width, height);
  // A picture goes where no font can mend it.
  picture.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(withoutUndrawn(svg))}`;
  await picture.decode();
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(width * scale);
  canvas.height = Math.round(height * scale);
  const context = canvas.getContext('2d');
  if (!context) throw new Error('This browser gives no canvas to draw on. Save the plot as SVG instead.');
  context.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => {
      if (blob) resolve(blob);
      else reject(new Error('The browser could not make a PNG of the plot. Save it as SVG instead.'));
    }, 'image/png');
  });
}

export async function copyPng(png: Promise<Blob>): Promise<void> {
  await navigator.clipboard.write([new ClipboardItem({ 'image/png': png })]);
  announce('Copied the plot as a picture');
}

/** 'Curlew Midnight, a*b* plane' → 'curlew-midnight-a-b-plane' */
export function fileNameOf(title: string): string {
  const name = title
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '');
  return name === '' ? 'plot' : name;
}
