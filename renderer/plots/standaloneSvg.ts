/** A plot's SVG as a file of its own: letters, size, ground and title inside, nothing fetched from elsewhere. */

export interface StandaloneOptions {
  readonly width: number;
  readonly height: number;
  readonly title: string;
  /** What it shows, in a sentence. */
  readonly description: string;
  /** '@font-face' rules with the fonts as data; '' leaves the letters to the reader's fonts. */
  readonly fontFaces: string;
  readonly background: string;
}

const SVG_NAMESPACE = 'http://www.w3.org/2000/svg';

/** @param svg The serialised `<svg>` element. @throws when it is none. */
export function standaloneSvg(svg: string, options: StandaloneOptions): string {
  const start = /^\s*<svg\b([^>]*)>/.exec(svg);
  if (!start) throw new Error('standaloneSvg: expected markup that starts with <svg>.');
  const { width, height, title, description, fontFaces, background } = options;
  const attributes = withAttributes(start[1], { xmlns: SVG_NAMESPACE, width: String(width), height: String(height) });
  const inside = svg.slice(start[0].length);
  return [
    `<?xml version="1.0" encoding="UTF-8"?>\n<svg${attributes} role="img">`,
    `<title>${escaped(title)}</title><desc>${escaped(description)}</desc>`,
    fontFaces === '' ? '' : `<style>${fontFaces}</style>`,
    `<rect width="${width}" height="${height}" fill="${background}"/>`,
    inside.trimEnd(),
    '\n',
  ].join('');
}

function withAttributes(attributes: string, wanted: Readonly<Record<string, string>>): string {
  const others = Object.keys(wanted).reduce(
    (text, name) => text.replace(new RegExp(`\\s${name}="[^"]*"`), ''),
    attributes,
  );
  return Object.entries(wanted).reduce((text, [name, value]) => `${text} ${name}="${value}"`, others);
}

function escaped(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}
