import fc from "fast-check";
import { expect, test } from "vitest";
import { factor } from "../../../core/geometry/normalEquations.ts";
import { PartedSystem } from "../../../core/geometry/partedSystem.ts";

const SHARED = 3;
const OWN = 2;
const N = SHARED + OWN;
const value = fc.double({ min: -1, max: 1, noNaN: true });

/** Normal equations of eight rows of N columns, each unknown held near nothing by a prior. */
const part = fc.array(fc.array(value, { minLength: N + 1, maxLength: N + 1 }), { minLength: 8, maxLength: 8 }).map((rows) => {
  const sum = (a: number, b: number): number => rows.reduce((s, row) => s + row[a] * row[b], 0);
  return { matrix: Float64Array.from({ length: N * N }, (_, i) => sum(Math.floor(i / N), i % N) + (i % (N + 1) === 0 ? 1 : 0)), right: Float64Array.from({ length: N }, (_, a) => sum(a, N)) };
});

function factored(matrix: Float64Array, n: number): Exclude<ReturnType<typeof factor>, { undetermined: number }> {
  const solved = factor(matrix, n);
  if ("undetermined" in solved) throw new Error("not determined");
  return solved;
}

type Part = { readonly matrix: Float64Array; readonly right: Float64Array };

function sameAsWhole(parts: readonly Part[]): void {
  // The whole: the common unknowns, then each part's own ones.
  const n = SHARED + parts.length * OWN;
  const matrix = new Float64Array(n * n);
  const right = new Float64Array(n);
  const at = (a: number, k: number): number => (a < SHARED ? a : a + k * OWN);
  parts.forEach((p, k) => {
    for (let a = 0; a < N; a++) {
      right[at(a, k)] += p.right[a];
      for (let b = 0; b < N; b++) matrix[n * at(a, k) + at(b, k)] += p.matrix[N * a + b];
    }
  });
  const whole = factored(matrix, n);
  const x = whole.solve(right);

  const common = new Float64Array(SHARED * SHARED);
  const commonRight = new Float64Array(SHARED);
  const systems = parts.map((p) => {
    const system = new PartedSystem(N, OWN);
    system.matrix.set(p.matrix);
    system.right.set(p.right);
    const taken = system.takeOut();
    for (let a = 0; a < SHARED; a++) {
      commonRight[a] += system.right[a];
      for (let b = 0; b < SHARED; b++) common[SHARED * a + b] += system.matrix[N * Math.max(a, b) + Math.min(a, b)];
    }
    return { system, ...taken };
  });
  const shared = factored(common, SHARED);
  const found = shared.solve(commonRight);

  systems.forEach(({ system }, k) => system.putBack(found).forEach((v, a) => expect(v).toBeCloseTo(x[at(a, k)], 9)));
  expect(systems.reduce((s, { logDeterminant }) => s + logDeterminant, shared.logDeterminant)).toBeCloseTo(whole.logDeterminant, 9);
  const explained = (solution: Float64Array, of: Float64Array): number => solution.reduce((s, v, a) => s + v * of[a], 0);
  expect(systems.reduce((s, taken) => s + taken.explained, explained(found, commonRight))).toBeCloseTo(explained(x, right), 9);
}

test("systems whose own unknowns are taken out and that are summed then have the solution, the determinant and what is explained of the whole", () => {
  fc.assert(fc.property(fc.array(part, { minLength: 1, maxLength: 4 }), sameAsWhole));
});
