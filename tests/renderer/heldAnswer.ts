/** Answers that come when the test lets them. */

/** A promise that the test settles. */
export function held<T>() {
  let resolve: (value: T) => void = () => undefined;
  let reject: (error: unknown) => void = () => undefined;
  const promise = new Promise<T>((yes, no) => {
    resolve = yes;
    reject = no;
  });
  return { promise, resolve, reject };
}

/** Lets all come through that is ready. */
export const turn = () => new Promise((resolve) => setTimeout(resolve, 0));
