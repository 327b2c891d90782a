/** Names of requests: one that is sent twice because its answer got lost is carried out once. */
const windowName = [...crypto.getRandomValues(new Uint32Array(3))].map((part) => part.toString(36)).join('');
let requests = 0;
/** The last one of each ink. */
const last = new Map<number, string>();

export function nextRequest(): string {
  return `${windowName}-${++requests}`;
}

/** Of an edit or a step of this ink. */
export function nextRequestOf(ink: number): string {
  const request = nextRequest();
  noteLast(ink, request);
  return request;
}

/** Also of one that this window's last loading left. */
export function noteLast(ink: number, request: string): void {
  last.set(ink, request);
}

/** Null: nothing was done to it in this window. */
export function lastRequestOf(ink: number): string | null {
  return last.get(ink) ?? null;
}
