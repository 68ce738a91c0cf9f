/** The middle value; the mean of the two middle ones of an even number; 0 of none. */
export function medianOf(values: Float64Array | readonly number[]): number {
  if (values.length === 0) return 0;
  const sorted = Float64Array.from(values).sort();
  const h = sorted.length >> 1;
  return sorted.length % 2 ? sorted[h] : 0.5 * (sorted[h - 1] + sorted[h]);
}
