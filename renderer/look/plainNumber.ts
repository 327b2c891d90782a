/**
 * A number's text as a field reads it: the true minus sign, as this window and others print it, becomes a hyphen, and a decimal comma a point. A comma
 * beside a point, or a second one, parts thousands and goes. 'Alt' and other names of keys stay as they are.
 */
export function plainNumber(text: string): string {
  const signed = text.replaceAll('\u2212', '-');
  const commas = signed.split(',').length - 1;
  return commas === 1 && !signed.includes('.') ? signed.replace(',', '.') : signed.replaceAll(',', '');
}
