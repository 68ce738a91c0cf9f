/** The middle value; the mean of the two middle ones of an even number; 0 of none. */
export function medianOf(values: Float64Array | readonly number[]): number {
  const n = values.length;
  if (n === 0) return 0;
  const some = new Float64Array(n);
  for (let i = 0; i < n; i++) some[i] = values[i];
  const h = n >> 1;
  const upper = nthSmallest(some, h);
  if (n % 2) return upper;
  let lower = -Infinity;
  for (let i = 0; i < h; i++) if (some[i] > lower) lower = some[i];
  return 0.5 * (lower + upper);
}

/** The value that would stand at k if the values were sorted. They change their places: none before it is greater then (quickselect: Hoare, Comm. ACM 4 (1961) 321, from memory). */
export function nthSmallest(values: Float64Array, k: number): number {
  let [low, high] = [0, values.length - 1];
  while (low < high) {
    const pivot = values[(low + high) >> 1];
    let [i, j] = [low, high];
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
