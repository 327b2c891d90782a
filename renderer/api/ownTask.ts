/** Goes on in a task of its own, after whatever runs now: what a page begins with never adds up to one long task. */
export function ownTask(): Promise<void> {
  return new Promise((resolve) => void setTimeout(resolve));
}
