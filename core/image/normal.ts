/**
 * The standard normal integral and density from a table, for per-pixel work: a straight edge blurred by a Gaussian is this integral.
 * Linear interpolation in steps of 1/512 keeps the error below 2e-7, far below a grey level.
 */
const STEPS = 512;
const REACH = 6;
const table = buildTable();

function buildTable(): Float64Array {
  // Composite Simpson from the centre outwards: exact to about 1e-13 at this step.
  const t = new Float64Array(REACH * STEPS + 2);
  const h = 1 / STEPS;
  t[0] = 0.5;
  for (let i = 1; i < t.length; i++) {
    const a = (i - 1) * h;
    t[i] = t[i - 1] + (h / 6) * (density(a) + 4 * density(a + h / 2) + density(a + h));
  }
  return t;
}

/** Standard normal density. */
export function density(z: number): number {
  return 0.3989422804014327 * Math.exp(-0.5 * z * z);
}

/** Standard normal integral from minus infinity to z. */
export function integral(z: number): number {
  const a = Math.abs(z);
  if (a >= REACH) return z > 0 ? 1 : 0;
  const s = a * STEPS;
  const i = s | 0;
  const v = table[i] + (s - i) * (table[i + 1] - table[i]);
  return z >= 0 ? v : 1 - v;
}
