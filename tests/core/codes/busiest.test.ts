import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { busiestPlaces } from "../../../core/codes/busiest.ts";
import type { Picture } from "../../../core/image/picture.ts";

const [WIDTH, HEIGHT] = [900, 700];

/** A plain picture with stripes along its rows, which change in one direction only, and at a place a patch of squares as many to a side as a code's modules. */
function drawn(x: number, y: number, side: number): Picture {
  const data = new Uint8Array(WIDTH * HEIGHT).fill(200);
  for (let j = 0; j < HEIGHT; j++) if (j % 8 < 4) data.fill(60, j * WIDTH, j * WIDTH + WIDTH / 3);
  const module = side / 21;
  for (let j = 0; j < side; j++) for (let i = 0; i < side; i++) data[(y + j) * WIDTH + x + i] = (Math.floor(i / module) + Math.floor(j / module)) % 2 ? 190 : 90;
  return { width: WIDTH, height: HEIGHT, channels: 1, data, transfer: "srgb" };
}

describe("where a picture is busiest", () => {
  it("is where it changes along rows and columns, so near that a close-up of 1.8 sides shows all of a code", () => {
    fc.assert(fc.property(fc.integer({ min: 60, max: 240 }), fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }), (side, a, b) => {
      const quiet = Math.ceil((4 * side) / 21);
      const [x, y] = [quiet + Math.floor(a * (WIDTH - side - 2 * quiet)), quiet + Math.floor(b * (HEIGHT - side - 2 * quiet))];
      const [first] = busiestPlaces(drawn(x, y, side), side);
      expect(Math.max(Math.abs(first.x - x - side / 2), Math.abs(first.y - y - side / 2))).toBeLessThan(0.4 * side);
    }), { numRuns: 40 });
  });

  it("is nowhere in a plain picture", () => {
    expect(busiestPlaces({ width: 300, height: 200, channels: 1, data: new Uint8Array(60_000).fill(120), transfer: "srgb" }, 60)).toEqual([]);
  });
});
