/**
 * The value that would stand at place `k` were the first `count` sorted, which end up partly sorted, in place.
 * Source: Hoare (1961), Comm. ACM 4(7), 321–322 (Algorithm 65, Find).
 */
export function selectKth(values: Float32Array | Float64Array, count: number, k: number): number {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const pivot = values[(low + high) >> 1];
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i] < pivot) i++;
      while (values[j] > pivot) j--;
      if (i > j) break;
      const swapped = values[i];
      values[i++] = values[j];
      values[j--] = swapped;
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return values[k];
}
