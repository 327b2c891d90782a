/** Drawing of a plot that is several in one: what lies between two `yield`s is a task, so that the window answers in between. */
export type InTurn<T> = Generator<undefined, T>;

/** All of it now: for a file, or before printing. */
export function atOnce<T>(steps: InTurn<T>): T {
  let step = steps.next();
  while (step.done !== true) step = steps.next();
  return step.value;
}
