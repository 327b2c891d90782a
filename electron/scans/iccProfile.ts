/** What an embedded ICC profile calls itself, and whether it leads to colours. Where a target serves the scan it is only reported. */
import { createHash } from 'node:crypto';
import { hasSoundWhite, iccMatrix } from './iccMatrix.ts';

export interface IccLabel {
  /** The profile's own description, or 'embedded' when it has none that can be read. */
  readonly description: string;
  /** SHA-256 of the profile, hexadecimal: two scans with one hash were made with one profile. */
  readonly hash: string;
  /** Whether it leads from RGB to colours: by a table, or by curves and primaries with a white that is one. */
  readonly usable: boolean;
}

export function iccLabel(profile: Uint8Array): IccLabel {
  const bytes = Buffer.from(profile.buffer, profile.byteOffset, profile.byteLength);
  return {
    description: description(bytes) ?? 'embedded',
    hash: createHash('sha256').update(bytes).digest('hex'),
    usable: leadsToColours(bytes),
  };
}

/** ICC.1:2010, 7.2 and 8.3: what an RGB input or display profile must hold. */
function leadsToColours(bytes: Buffer): boolean {
  if (bytes.length < 132 || bytes.toString('latin1', 36, 40) !== 'acsp') return false;
  if (bytes.toString('latin1', 16, 20) !== 'RGB ') return false;
  const whole = new Set<string>();
  const tags = bytes.readUInt32BE(128);
  for (let i = 0; i < tags && 132 + 12 * i + 12 <= bytes.length; i++) {
    const at = 132 + 12 * i;
    const end = bytes.readUInt32BE(at + 4) + bytes.readUInt32BE(at + 8);
    if (end <= bytes.length) whole.add(bytes.toString('latin1', at, at + 4));
  }
  const tables = ['A2B0', 'A2B1', 'D2B0', 'D2B1'];
  if (tables.some((tag) => whole.has(tag))) return true;
  const matrix = ['rXYZ', 'gXYZ', 'bXYZ', 'rTRC', 'gTRC', 'bTRC'];
  if (!matrix.every((tag) => whole.has(tag))) return false;
  const exact = iccMatrix(bytes);
  return exact === null || hasSoundWhite(exact);
}

/** The 'desc' tag: ICC.1:2001 section 6.5.17 (ASCII) or ICC.1:2010 section 10.13 (UTF-16, several languages). */
function description(bytes: Buffer): string | null {
  if (bytes.length < 132) return null;
  const tags = bytes.readUInt32BE(128);
  for (let i = 0; i < tags && 132 + 12 * i + 12 <= bytes.length; i++) {
    const at = 132 + 12 * i;
    if (bytes.toString('latin1', at, at + 4) !== 'desc') continue;
    const start = bytes.readUInt32BE(at + 4);
    return textOf(bytes.subarray(start, start + bytes.readUInt32BE(at + 8)));
  }
  return null;
}

function textOf(tag: Buffer): string | null {
  if (tag.length < 12) return null;
  const type = tag.toString('latin1', 0, 4);
  if (type === 'desc') return cleaned(tag.toString('latin1', 12, 12 + tag.readUInt32BE(8)));
  if (type !== 'mluc' || tag.length < 28) return null;
  const length = tag.readUInt32BE(20);
  const offset = tag.readUInt32BE(24);
  const text = Buffer.from(tag.subarray(offset, offset + length - (length % 2)));
  return text.length % 2 === 0 ? cleaned(text.swap16().toString('utf16le')) : null;
}

/** One line without control characters: it is printed on a terminal. */
function cleaned(text: string): string | null {
  const line = text
    .replaceAll(/[\p{Cc}\p{Cf}]+/gu, ' ')
    .trim()
    .slice(0, 120);
  return line === '' ? null : line;
}
