/** Small ICC version 2 matrix profiles: primaries far wider than sRGB, so that applying one shows. */

type Curves = readonly [red: Buffer, green: Buffer, blue: Buffer];

/** Gamma 1.8, unless other curves are given. @param description null: a profile that has no name of its own. @param scale of its white */
export function drawIcc(
  description: string | null = 'Wide test space',
  curves?: Curves,
  deviceClass: 'mntr' | 'scnr' = 'mntr',
  scale: readonly [X: number, Y: number, Z: number] = [1, 1, 1],
): Buffer {
  const [X, Y, Z] = scale;
  const [red, green, blue] = curves ?? [curvTag([Math.round(1.8 * 256)]), curvTag([461]), curvTag([461])];
  const tags: [string, Buffer][] = [
    ['cprt', Buffer.from('text\0\0\0\0none\0', 'latin1')],
    ['wtpt', xyz(0.9642, 1, 0.8249)],
    ['rXYZ', xyz(0.7977 * X, 0.288 * Y, 0)],
    ['gXYZ', xyz(0.1352 * X, 0.7119 * Y, 0)],
    ['bXYZ', xyz(0.0313 * X, 0.0001 * Y, 0.8249 * Z)],
    ['rTRC', red],
    ['gTRC', green],
    ['bTRC', blue],
  ];
  if (description !== null) tags.push(['desc', descriptionTag(description)]);
  return profile(tags, deviceClass);
}

/** None: the device counts light; one: gamma × 256; more: samples of 16 bits. Source: ICC.1:2010, 10.5. */
export function curvTag(values: readonly number[]): Buffer {
  const tag = Buffer.alloc(12 + 2 * values.length);
  tag.write('curv', 0, 'latin1');
  tag.writeUInt32BE(values.length, 8);
  values.forEach((v, i) => tag.writeUInt16BE(v, 12 + 2 * i));
  return tag;
}

/** Function type 0 … 4 with its parameters. Source: ICC.1:2010, 10.15. */
export function paraTag(type: number, parameters: readonly number[]): Buffer {
  const tag = Buffer.alloc(12 + 4 * parameters.length);
  tag.write('para', 0, 'latin1');
  tag.writeUInt16BE(type, 8);
  parameters.forEach((v, i) => tag.writeInt32BE(Math.round(v * 65536), 12 + 4 * i));
  return tag;
}

/** Version 4: the name in UTF-16 ('mluc'). */
export function drawIccUtf16(description: string): Buffer {
  const text = Buffer.from(description, 'utf16le').swap16();
  const head = Buffer.alloc(28);
  head.write('mluc', 0, 'latin1');
  head.writeUInt32BE(1, 8);
  head.writeUInt32BE(12, 12);
  head.write('enUS', 16, 'latin1');
  head.writeUInt32BE(text.length, 20);
  head.writeUInt32BE(28, 24);
  return profile([['desc', Buffer.concat([head, text])]]);
}

function profile(tags: readonly [string, Buffer][], deviceClass = 'mntr'): Buffer {
  const table = Buffer.alloc(4 + 12 * tags.length);
  table.writeUInt32BE(tags.length, 0);
  const bodies: Buffer[] = [];
  let at = 128 + table.length;
  tags.forEach(([name, body], i) => {
    const padded = Buffer.concat([body, Buffer.alloc((4 - (body.length % 4)) % 4)]);
    table.write(name, 4 + 12 * i, 'latin1');
    table.writeUInt32BE(at, 8 + 12 * i);
    table.writeUInt32BE(body.length, 12 + 12 * i);
    bodies.push(padded);
    at += padded.length;
  });
  const header = Buffer.alloc(128);
  header.writeUInt32BE(at, 0);
  header.writeUInt32BE(0x02100000, 8);
  header.write(`${deviceClass}RGB XYZ `, 12, 'latin1');
  header.write('acsp', 36, 'latin1');
  xyz(0.9642, 1, 0.8249).copy(header, 68, 8);
  return Buffer.concat([header, table, ...bodies]);
}

function xyz(...values: readonly [number, number, number]): Buffer {
  const tag = Buffer.alloc(20);
  tag.write('XYZ ', 0, 'latin1');
  values.forEach((v, i) => tag.writeInt32BE(Math.round(v * 65536), 8 + 4 * i));
  return tag;
}

function descriptionTag(text: string): Buffer {
  const tag = Buffer.alloc(12 + text.length + 1 + 12 + 67);
  tag.write('desc', 0, 'latin1');
  tag.writeUInt32BE(text.length + 1, 8);
  tag.write(text, 12, 'latin1');
  return tag;
}
