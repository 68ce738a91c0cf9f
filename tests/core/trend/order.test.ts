import fc from "fast-check";
import { expect, test } from "vitest";
import { orderOf } from "../../../core/trend/order.ts";

test("indices come in the order of their keys, equal ones as they were", () => {
  fc.assert(fc.property(fc.array(fc.oneof(fc.double({ noNaN: true }), fc.integer({ min: 0, max: 5 })), { maxLength: 400 }), (keys) => {
    // -0 and 0 are equal keys.
    const expected = keys.map((_, i) => i).sort((a, b) => (keys[a] < keys[b] ? -1 : keys[a] > keys[b] ? 1 : a - b));
    expect([...orderOf(Float64Array.from(keys))]).toEqual(expected);
  }));
  expect([...orderOf(new Float64Array(0))]).toEqual([]);
});
