/** A bench on disk: scans as PNG, the sheet, the card's layout and references, the truth beside each scan. */
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import type { Bench } from './bench.ts';
import { truthFiles } from './truthFiles.ts';

/** Writes into `dir`, making it if need be; files of the same names are replaced. */
export async function writeBench(bench: Bench, dir: string): Promise<string[]> {
  await mkdir(dir, { recursive: true });
  const texts: Record<string, string> = { 'sheet.json': json(bench.sheet) };
  if (bench.card) {
    texts['layout.json'] = json(bench.card.layout);
    texts['reference.txt'] = bench.card.referenceText;
    texts['reference-spectra.txt'] = bench.card.referenceSpectraText;
  }
  for (const [name, value] of Object.entries(truthFiles(bench))) texts[name] = json(value);
  for (const [name, text] of Object.entries(texts)) await writeFile(join(dir, name), text);
  for (const scan of bench.scans) await writeFile(join(dir, scan.file), await toPng(scan.raster));
  return [...Object.keys(texts), ...bench.scans.map((s) => s.file)];
}

/**
 * Exact PNG with the resolution in it; 16 bits stay 16 bits (`rgb16` keeps sharp from converting). Without `palette: false`
 * an effort asks for a palette, which would leave 8 bits only 256 colours.
 */
export async function toPng(raster: DeviceRaster): Promise<Buffer> {
  const image = sharp(raster.data, { raw: { width: raster.widthPx, height: raster.heightPx, channels: 3 } });
  return image
    .toColourspace(raster.bits === 16 ? 'rgb16' : 'srgb')
    .withDensity(raster.dpi)
    .png({ compressionLevel: 9, adaptiveFiltering: true, effort: 10, palette: false })
    .toBuffer();
}

/** Short lists stay on one line, numbers keep six significant digits at most eight decimals: the files are to be read. */
export function json(value: unknown): string {
  const text = JSON.stringify(value, (_, v: unknown) => (typeof v === 'number' ? Number(v.toPrecision(8)) : v), 2);
  return `${text.replace(/\[\s+([^[\]{}]*?)\s+\]/g, (_, list: string) => `[${list.replace(/\s*\n\s*/g, ' ')}]`)}\n`;
}
