/** Three numbers, one a channel or coordinate. */
export function triple(of: (c: 0 | 1 | 2) => number): [number, number, number] {
  return [of(0), of(1), of(2)];
}
