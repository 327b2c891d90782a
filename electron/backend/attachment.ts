/** `content-disposition` under which a browser saves what it gets (RFC 6266): a plain name, and the true one beside it. */
export function attachment(name: string): string {
  const safe = name.replaceAll(/[/\\:*?"<>|\p{Cc}]+/gu, '-').trim();
  // Half a surrogate pair, which a file's name may hold, cannot be encoded.
  const whole = Buffer.from(safe, 'utf8').toString('utf8');
  const plain = safe.replaceAll(/[^\x20-\x7e]/g, '_').replaceAll('%', '_');
  const encoded = encodeURIComponent(whole).replaceAll(
    /['()*]/g,
    (s) => `%${s.charCodeAt(0).toString(16).toUpperCase()}`,
  );
  return `attachment; filename="${plain}"; filename*=UTF-8''${encoded}`;
}
