/** Rows for labels at the most. */
const MOST_LANES = 5;

/** In which row each label stands so that none lies on another: the highest that is free. At most five rows; what finds none stands in the last. */
export function lanesOf(labels: readonly { readonly middle: number; readonly width: number }[]): number[] {
  const ends: number[] = [];
  const lanes = new Array<number>(labels.length).fill(0);
  const inOrder = labels.map((label, i) => ({ ...label, i })).sort((a, b) => a.middle - b.middle);
  for (const { middle, width, i } of inOrder) {
    const free = ends.findIndex((end) => end < middle - width / 2);
    const lane = free >= 0 ? free : Math.min(ends.length, MOST_LANES - 1);
    ends[lane] = middle + width / 2;
    lanes[i] = lane;
  }
  return lanes;
}