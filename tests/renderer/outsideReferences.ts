/** Fetched parts that a file must not lean on; data and places within the file itself are fine. */
export function outsideReferences(svg: string): readonly string[] {
  const urls = [...svg.matchAll(/url\(\s*['"]?([^'")]+)/g), ...svg.matchAll(/(?:href|src)="([^"]+)"/g)];
  return [...urls.map((found) => found[1]), ...[...svg.matchAll(/@import[^;]+/g)].map(([rule]) => rule)].filter(
    (url) => !url.startsWith('data:') && !url.startsWith('#'),
  );
}
