/** The few things used last, by name; what falls out is handed to `leave`. */
export class Recent<T> {
  readonly #most: number;
  readonly #leave: (thing: T) => void;
  readonly #things = new Map<string, T>();

  constructor(most: number, leave: (thing: T) => void = () => undefined) {
    this.#most = most;
    this.#leave = leave;
  }

  get(name: string): T | undefined {
    const thing = this.#things.get(name);
    if (thing === undefined) return undefined;
    this.#things.delete(name);
    this.#things.set(name, thing);
    return thing;
  }

  set(name: string, thing: T): T {
    this.remove(name);
    this.#things.set(name, thing);
    for (const oldest of this.#things.keys()) {
      if (this.#things.size <= this.#most) break;
      this.remove(oldest);
    }
    return thing;
  }

  remove(name: string): void {
    const thing = this.#things.get(name);
    if (thing === undefined) return;
    this.#things.delete(name);
    this.#leave(thing);
  }
}
