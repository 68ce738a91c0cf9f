import fc from "fast-check";
import { expect, test } from "vitest";
import { factor } from "../../../core/geometry/normalEquations.ts";
import { SmallSystem } from "../../../core/geometry/smallSystem.ts";

const rows = fc.array(fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 4, maxLength: 4 }), { minLength: 9, maxLength: 20 });

/** Normal equations of random rows, each term held a little so that they are determined. */
function equations(given: readonly number[][]): { matrix: Float64Array; right: Float64Array } {
  const matrix = new Float64Array(16);
  const right = new Float64Array(4);
  given.forEach((row, k) => row.forEach((v, a) => {
    right[a] += v * Math.sin(k);
    row.forEach((w, b) => (matrix[4 * a + b] += v * w));
  }));
  for (let a = 0; a < 4; a++) matrix[5 * a] += 0.01;
  return { matrix, right };
}

test("a small system has the solution and the inverse of the general one, each time it is used again", () => {
  const system = new SmallSystem(4);
  fc.assert(fc.property(rows, (given) => {
    const { matrix, right } = equations(given);
    system.matrix.set(matrix);
    system.right.set(right);
    expect(system.solve()).toBe(true);
    const general = factor(matrix, 4);
    if ("undetermined" in general) throw new Error("not determined");
    const x = general.solve(right);
    x.forEach((v, a) => expect(system.solution[a]).toBeCloseTo(v, 8));
    expect(system.explained()).toBeCloseTo(x.reduce((sum, v, a) => sum + v * right[a], 0), 8);
    const inverse = general.inverse();
    for (let a = 0; a < 4; a++) expect(system.inverseDiagonal(a) / inverse[5 * a]).toBeCloseTo(1, 8);
  }));
});

test("fewer terms, and a last one that is held, are solved without the others", () => {
  const system = new SmallSystem(3);
  system.matrix.set([4, 0, 0, 2, 5, 0, 9, 9, 9]);
  system.right.set([2, 3, 99]);
  expect(system.solve(2)).toBe(true);
  expect([...system.solution.subarray(0, 2)]).toEqual([0.25, 0.5]);
  expect(system.solve(2, 1e12)).toBe(true);
  expect(system.solution[0]).toBeCloseTo(0.5, 9);
  expect(system.solution[1]).toBeCloseTo(0, 9);
});

test("terms that depend on one another are not solved for", () => {
  const system = new SmallSystem(2);
  system.matrix.set([1, 0, 2, 4]);
  system.right.set([1, 2]);
  expect(system.solve()).toBe(false);
});
