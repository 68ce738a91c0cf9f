/** A smooth function from a table, linear between entries; beyond its range the value at the nearer end. */
export function tabulated(f: (t: number) => number, low: number, high: number, pieces: number): (t: number) => number {
  const perUnit = pieces / (high - low);
  const table = Float64Array.from({ length: pieces + 2 }, (_, i) => f(low + i / perUnit));
  return (t) => {
    const at = t <= low ? 0 : t >= high ? pieces : (t - low) * perUnit;
    const i = at | 0;
    return table[i] + (at - i) * (table[i + 1] - table[i]);
  };
}
