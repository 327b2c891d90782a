/** The window's letters as '@font-face' rules with the fonts inside, for pictures that leave the window. */
import greekUrl from '@fontsource-variable/source-sans-3/files/source-sans-3-greek-wght-normal.woff2?url';
import latinUrl from '@fontsource-variable/source-sans-3/files/source-sans-3-latin-wght-normal.woff2?url';

/** What the fonts inside a picture are called. */
export const SAVED_FACE = 'Source Sans 3 Variable';
export const GREEK_RANGE = 'U+0370-03FF';

const SUBSETS = [
  { url: latinUrl, of: /[\u0020-\u024F\u2000-\u206F\u2212]/u, range: 'U+0000-00FF,U+2000-206F,U+2212' },
  { url: greekUrl, of: /[\u0370-\u03FF]/u, range: GREEK_RANGE },
] as const;

/** Only what the text needs: each subset adds some 40 kB to the file. */
export async function fontFacesFor(text: string): Promise<string> {
  const faces = await Promise.all(
    SUBSETS.filter(({ of }) => of.test(text)).map(async ({ url, range }) => {
      const data = base64(new Uint8Array(await (await fetch(url)).arrayBuffer()));
      return (
        `@font-face{font-family:"${SAVED_FACE}";font-weight:200 900;` +
        `src:url(data:font/woff2;base64,${data}) format("woff2");unicode-range:${range}}`
      );
    }),
  );
  return faces.join('');
}

function base64(bytes: Uint8Array): string {
  let text = '';
  for (let i = 0; i < bytes.length; i += 8192) text += String.fromCharCode(...bytes.subarray(i, i + 8192));
  return btoa(text);
}
