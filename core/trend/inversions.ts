/** Number of pairs i < j with values[i] > values[j], by merging. O(n log n); `values` is left as it was. */
export function discordantPairs(values: Float64Array): number {
  const n = values.length;
  let from = values.slice();
  let to = new Float64Array(n);
  let count = 0;
  for (let width = 1; width < n; width *= 2) {
    for (let start = 0; start < n; start += 2 * width) {
      const middle = Math.min(start + width, n);
      const end = Math.min(start + 2 * width, n);
      let [i, j] = [start, middle];
      for (let k = start; k < end; k++) {
        if (j >= end || (i < middle && from[i] <= from[j])) {
          to[k] = from[i++];
        } else {
          count += middle - i;
          to[k] = from[j++];
        }
      }
    }
    [from, to] = [to, from];
  }
  return count;
}

/**
 * Calls `visit(i, j)` for the pairs i < j with values[i] > values[j], by merging, until it returns false. O(n log n) and the
 * number of pairs.
 */
export function visitDiscordantPairs(values: Float64Array, visit: (i: number, j: number) => boolean): void {
  const n = values.length;
  let from = new Uint32Array(n).map((_, i) => i);
  let to = new Uint32Array(n);
  for (let width = 1; width < n; width *= 2) {
    for (let start = 0; start < n; start += 2 * width) {
      const middle = Math.min(start + width, n);
      const end = Math.min(start + 2 * width, n);
      let [i, j] = [start, middle];
      for (let k = start; k < end; k++) {
        if (j >= end || (i < middle && values[from[i]] <= values[from[j]])) {
          to[k] = from[i++];
          continue;
        }
        for (let l = i; l < middle; l++) if (!visit(from[l], from[j])) return;
        to[k] = from[j++];
      }
    }
    [from, to] = [to, from];
  }
}
