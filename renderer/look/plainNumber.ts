/**
 * A number's text as a field reads it: the true minus sign, as this window and others print it, becomes a hyphen, and a decimal comma a point. A comma
 * beside a point, or a second one, parts thousands and goes. Signs as broad as a Chinese or Japanese letter are the same numbers: of ０．７ the
 * field would take the digits and drop the point. 'Alt' and other names of keys stay as they are.
 */
export function plainNumber(text: string): string {
  const narrow = text.replace(FULL_WIDTH, (sign) => String.fromCharCode(sign.charCodeAt(0) - FULL_WIDTH_BY));
  const signed = narrow.replaceAll('\u2212', '-');
  const commas = signed.split(',').length - 1;
  return commas === 1 && !signed.includes('.') ? signed.replace(',', '.') : signed.replaceAll(',', '');
}

/** Plus, comma, minus, point and the digits (Unicode, Halfwidth and Fullwidth Forms). */
const FULL_WIDTH = /[\uFF0B-\uFF0E\uFF10-\uFF19]/g;
const FULL_WIDTH_BY = 0xfee0;
