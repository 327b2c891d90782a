/** The same text with its figures unbroken at a line's end: '4.5 ± 1.1 ΔE00' and 'L* 29.7' stay whole. */
export function keptTogether(text: string): string {
  return text
    .replace(/ ± (?=[\d?])/g, '\u00A0±\u00A0')
    .replace(/([Lab]\*|R_F|R_s) (?=[−\d])/g, '$1\u00A0')
    .replace(/(\d) (?=ΔE00|ΔL\*|%|mm\b)/g, '$1\u00A0');
}
