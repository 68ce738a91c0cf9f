/** Number of pairs i < j with values[i] > values[j], by merging. O(n log n); `values` is left as it was. */
export function discordantPairs(values: Float64Array): number {
  let count = 0;
  sortByMerging(values, (_order, from, to) => {
    count += to - from;
    return true;
  });
  return count;
}

/**
 * Calls `visit(i, j)` for the pairs i < j with values[i] > values[j], by merging, until it returns false. O(n log n) and the
 * number of pairs.
 */
export function visitDiscordantPairs(values: Float64Array, visit: (i: number, j: number) => boolean): void {
  sortByMerging(values, (order, from, to, j) => {
    for (let l = from; l < to; l++) if (!visit(order[l], j)) return false;
    return true;
  });
}

/**
 * Sorts the places of the values from the least on, and tells of each place j that goes before ones that stood before it: those are order[from] to order[to - 1]. Ends early where it is told
 * false.
 */
function sortByMerging(values: Float64Array, overtakes: (order: Uint32Array, from: number, to: number, j: number) => boolean): void {
  const n = values.length;
  let order = new Uint32Array(n).map((_, i) => i);
  let next = new Uint32Array(n);
  for (let width = 1; width < n; width *= 2) {
    for (let start = 0; start < n; start += 2 * width) {
      const middle = Math.min(start + width, n);
      const end = Math.min(start + 2 * width, n);
      let [i, j] = [start, middle];
      for (let k = start; k < end; k++) {
        if (j >= end || (i < middle && values[order[i]] <= values[order[j]])) {
          next[k] = order[i++];
          continue;
        }
        if (i < middle && !overtakes(order, i, middle, order[j])) return;
        next[k] = order[j++];
      }
    }
    [order, next] = [next, order];
  }
}
