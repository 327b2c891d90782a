/** Last touches on a drawn plot, for the window and for files. */

const SVG = 'http://www.w3.org/2000/svg';

export function finish(drawn: Element): void {
  // The picture is told as a whole; names of its parts ('dot', 'rule') would only be in the way.
  for (const part of drawn.querySelectorAll('[aria-label]')) part.removeAttribute('aria-label');
  for (const text of drawn.querySelectorAll('text')) lowerSubscripts(text);
}

/** 'R_F' with its F lowered, by shifts that every SVG reader knows. */
function lowerSubscripts(text: Element): void {
  const [before, after] = (text.textContent ?? '').split('R_F');
  if (before === undefined || after === undefined) return;
  const page = text.ownerDocument;
  const span = (words: string, dy: string, size: string | null): Element => {
    const part = page.createElementNS(SVG, 'tspan');
    part.textContent = words;
    part.setAttribute('dy', dy);
    if (size !== null) part.setAttribute('font-size', size);
    return part;
  };
  text.replaceChildren(`${before}R`, span('F', '0.25em', '75%'), span(after, '-0.1875em', null));
}
