/** Small ICC version 2 scanner profiles that are tables ('mft2'). Source: ICC.1:2001, 6.5.7. */
import { labD50, xyzToLab, type Xyz } from '../../analysis/colour/lab.ts';

const GRID = 17;

/** From the coordinates of the table, 0..1 and about as even as lightness, to L*, a*, b*. */
type ColourOf = (r: number, g: number, b: number) => readonly [L: number, a: number, b: number];

/**
 * @param gamma of the input curves; 1 for a device that counts light
 * @param colourOf by default a table so curved and crossed that no matrix comes near it
 */
export function drawTableIcc(gamma = 1.8, colourOf: ColourOf = crossed): Buffer {
  const tags: [string, Buffer][] = [
    ['desc', textTag('desc', 'Table of the tests')],
    ['cprt', textTag('text', 'none')],
    ['wtpt', xyzTag(0.9642, 1, 0.8249)],
    ['A2B0', table(gamma, colourOf)],
  ];
  const directory = Buffer.alloc(4 + 12 * tags.length);
  directory.writeUInt32BE(tags.length, 0);
  let at = 128 + directory.length;
  const bodies = tags.map(([name, body], i) => {
    const padded = Buffer.concat([body, Buffer.alloc((4 - (body.length % 4)) % 4)]);
    directory.write(name, 4 + 12 * i, 'latin1');
    directory.writeUInt32BE(at, 8 + 12 * i);
    directory.writeUInt32BE(body.length, 12 + 12 * i);
    at += padded.length;
    return padded;
  });
  const header = Buffer.alloc(128);
  header.writeUInt32BE(at, 0);
  header.writeUInt32BE(0x02100000, 8);
  header.write('scnrRGB Lab ', 12, 'latin1');
  header.write('acsp', 36, 'latin1');
  xyzTag(0.9642, 1, 0.8249).copy(header, 68, 8);
  return Buffer.concat([header, directory, ...bodies]);
}

function table(gamma: number, colourOf: ColourOf): Buffer {
  const entries = 256;
  const head = Buffer.alloc(52);
  head.write('mft2', 0, 'latin1');
  head.set([3, 3, GRID], 8);
  [1, 0, 0, 0, 1, 0, 0, 0, 1].forEach((v, i) => head.writeInt32BE(v * 65536, 12 + 4 * i));
  head.writeUInt16BE(entries, 48);
  head.writeUInt16BE(2, 50);
  const body: number[] = [];
  // Input curves bring the device near to lightness, as profilers do.
  for (let k = 0; k < 3; k++) {
    for (let i = 0; i < entries; i++) body.push(Math.round(65535 * (i / (entries - 1)) ** (gamma / 2.4)));
  }
  for (let r = 0; r < GRID; r++) {
    for (let g = 0; g < GRID; g++) {
      for (let b = 0; b < GRID; b++) body.push(...coded(colourOf(r / (GRID - 1), g / (GRID - 1), b / (GRID - 1))));
    }
  }
  for (let k = 0; k < 3; k++) body.push(0, 65535);
  const values = Buffer.alloc(2 * body.length);
  body.forEach((v, i) => values.writeUInt16BE(v, 2 * i));
  return Buffer.concat([head, values]);
}

/** A scanner as profilers find them: filters that overlap, each channel with some stray light of the others, its white a little warm. */
export function likeAScanner(r: number, g: number, b: number): readonly [number, number, number] {
  const [R, G, B] = [r, g, b].map((v) => v ** 2.4);
  const cross = [Math.sqrt(R * G), Math.sqrt(G * B), Math.sqrt(R * B)];
  const xyz: Xyz = [
    0.46 * R + 0.34 * G + 0.14 * B + 0.05 * cross[0] - 0.03 * cross[2],
    0.24 * R + 0.7 * G + 0.02 * B + 0.05 * cross[0] - 0.01 * cross[1],
    0.01 * R + 0.06 * G + 0.74 * B + 0.02 * cross[1] - 0.01 * cross[2],
  ];
  // Black paint is not black: a profile's darkest colour lies at L* 4.
  const [L, a, c] = xyzToLab(xyz);
  return labD50(4 + 0.96 * L, a, c);
}

function crossed(r: number, g: number, b: number): readonly [L: number, a: number, b: number] {
  return [
    100 * (0.25 * r + 0.6 * g + 0.15 * b),
    90 * (r - g) + 25 * r * b * (1 - g),
    70 * (0.5 * (r + g) - b) - 20 * g * (1 - r),
  ];
}

/** Version 2: 100 is FF00h, a and b from −128 at 0. */
function coded([L, a, b]: readonly [number, number, number]): number[] {
  return [(L / 100) * 65280, (a + 128) * 256, (b + 128) * 256].map((v) => Math.min(65535, Math.max(0, Math.round(v))));
}

function xyzTag(...values: readonly [number, number, number]): Buffer {
  const tag = Buffer.alloc(20);
  tag.write('XYZ ', 0, 'latin1');
  values.forEach((v, i) => tag.writeInt32BE(Math.round(v * 65536), 8 + 4 * i));
  return tag;
}

function textTag(type: 'desc' | 'text', text: string): Buffer {
  const body = Buffer.from(`${text}\0`, 'latin1');
  const head = Buffer.alloc(type === 'desc' ? 12 : 8);
  head.write(type, 0, 'latin1');
  if (type === 'desc') head.writeUInt32BE(body.length, 8);
  return Buffer.concat([head, body, Buffer.alloc(type === 'desc' ? 79 : 0)]);
}
