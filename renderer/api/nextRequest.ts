/** Names of requests: one that is sent twice because its answer got lost is carried out once. */
const windowName = [...crypto.getRandomValues(new Uint32Array(3))].map((part) => part.toString(36)).join('');
let requests = 0;

export function nextRequest(): string {
  return `${windowName}-${++requests}`;
}
