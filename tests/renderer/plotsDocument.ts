/** The little of a document that a plot is drawn with, without a browser: elements that can be written out as markup. */

interface Child {
  readonly outerHTML: string;
}

class DrawnText implements Child {
  readonly text: string;
  parentNode: DrawnElement | null = null;
  readonly ownerDocument: Document;

  constructor(text: string, ownerDocument: Document) {
    this.text = text;
    this.ownerDocument = ownerDocument;
  }

  get outerHTML(): string {
    return escaped(this.text);
  }
}

class DrawnElement implements Child {
  readonly name: string;
  readonly namespaceURI: string;
  readonly ownerDocument: Document;
  parentNode: DrawnElement | null = null;
  readonly attributes = new Map<string, string>();
  childNodes: (DrawnElement | DrawnText)[] = [];
  /** Plot sets properties by their names in script. */
  readonly style: Record<string, unknown> = {};

  constructor(name: string, namespaceURI: string, ownerDocument: Document) {
    this.name = name;
    this.namespaceURI = namespaceURI;
    this.ownerDocument = ownerDocument;
    Object.defineProperty(this.style, 'setProperty', {
      value: (property: string, value: unknown) => {
        this.style[property] = value;
      },
    });
  }

  setAttribute(name: string, value: unknown): void {
    this.attributes.set(name, String(value));
  }
  setAttributeNS(_space: string | null, name: string, value: unknown): void {
    this.setAttribute(name, value);
  }
  getAttribute(name: string): string | null {
    return this.attributes.get(name) ?? null;
  }
  removeAttribute(name: string): void {
    this.attributes.delete(name);
  }
  appendChild(child: DrawnElement | DrawnText): DrawnElement | DrawnText {
    return this.insertBefore(child, null);
  }
  insertBefore(child: DrawnElement | DrawnText, before: DrawnElement | DrawnText | null): DrawnElement | DrawnText {
    const at = before === null ? this.childNodes.length : this.childNodes.indexOf(before);
    this.childNodes.splice(at, 0, child);
    child.parentNode = this;
    return child;
  }
  append(...children: (DrawnElement | DrawnText)[]): void {
    for (const child of children) this.appendChild(child);
  }
  get children(): DrawnElement[] {
    return this.childNodes.filter((child) => child instanceof DrawnElement);
  }
  get tagName(): string {
    return this.name;
  }
  querySelector(): null {
    return null;
  }
  set textContent(text: string) {
    this.childNodes = [new DrawnText(text, this.ownerDocument)];
  }
  get textContent(): string {
    return this.childNodes.map((child) => (child instanceof DrawnText ? child.text : child.textContent)).join('');
  }

  get outerHTML(): string {
    const style = Object.entries(this.style).map(([name, value]) => `${dashed(name)}: ${String(value)}`);
    const attributes = [...this.attributes, ...(style.length > 0 ? [['style', style.join('; ')] as const] : [])];
    const written = attributes
      .map(([name, value]) => ` ${name}="${escaped(value).replaceAll('"', '&quot;')}"`)
      .join('');
    return `<${this.name}${written}>${this.childNodes.map((child) => child.outerHTML).join('')}</${this.name}>`;
  }
}

const HTML = 'http://www.w3.org/1999/xhtml';

/** A document for `Surface.document`. */
export function plotsDocument(): Document {
  // Of a real document's hundreds of members these few are used.
  const members = Object.create(null);
  const document: Document = Object.assign(members, {
    createElementNS: (space: string, name: string) => new DrawnElement(name, space, document),
    createElement: (name: string) => new DrawnElement(name, HTML, document),
    createTextNode: (text: string) => new DrawnText(text, document),
  });
  Object.assign(members, { documentElement: new DrawnElement('html', HTML, document) });
  return document;
}

function dashed(name: string): string {
  return name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
}

function escaped(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}
