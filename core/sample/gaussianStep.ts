/** Where a sharp edge, seen through a Gaussian blur, has reached: the normal distribution function from a table (error < 2e-6). */
export function step(z: number): number {
  if (z >= REACH) return 1;
  if (z <= -REACH) return 0;
  const at = (z + REACH) * PER_UNIT;
  const i = at | 0;
  return TABLE[i] + (at - i) * (TABLE[i + 1] - TABLE[i]);
}

const REACH = 5;
const PER_UNIT = 512;

/** Cumulated by Simpson's rule, which is exact to 1e-13 at this step. */
const TABLE = (() => {
  const density = (z: number): number => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
  const table = new Float64Array(2 * REACH * PER_UNIT + 2);
  const h = 1 / PER_UNIT;
  let sum = 0;
  for (let i = 1; i < table.length; i++) {
    const z = -REACH + (i - 1) * h;
    sum += (h / 6) * (density(z) + 4 * density(z + h / 2) + density(z + h));
    table[i] = sum;
  }
  return table;
})();
