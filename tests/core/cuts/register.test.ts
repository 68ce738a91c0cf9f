import { expect, it } from "vitest";
import { predictedOffset, registerCoarsely, type Witness } from "../../../core/cuts/register.ts";
import { chunkWith, grid } from "./profile.ts";

/** Half the way between the middles of two pieces, and half a piece, mm. */
const APART = 160;
const HALF = 140;

/** The chunks of a square piece with its middle at x, each of which shows the cut t mm outwards, so plainly, and a line `beside` that is five times as plain. */
function piece(x: number, t: number, plainly: number, counts?: number, beside?: number): Witness[] {
  return [[1, 0], [0, 1], [-1, 0], [0, -1]].flatMap(([nx, ny]) => Array.from({ length: 2 * HALF / 5 }, (_, i): Witness => {
    const on = -HALF + 5 * i + 2.5;
    const chunk = { ...chunkWith({ at: 0, width: 0.1, depth: 0 }), x: x + nx * HALF - ny * on, y: ny * HALF + nx * on, nx, ny, tx: -ny, ty: nx };
    const peak = (k: number, at: number, high: number): number => Math.max(0, high * (1 - Math.abs(k * grid.step - grid.reach - at) / 0.3));
    const evidence = Float32Array.from({ length: grid.count }, (_, k) => Math.max(peak(k, t, plainly), beside === undefined ? 0 : peak(k, beside, 5 * plainly)));
    return { chunk, evidence, ...(counts === undefined ? {} : { counts }) };
  }));
}

/** How far from its place the upper side of the second piece, whose faint slits lie in their places, is expected beside a first piece seen by the edge of its print, which ends half a millimetre outside. */
function offAt(counts?: number): number {
  const shift = registerCoarsely([...piece(-APART, 0.5, 100, counts), ...piece(APART, 0, 4)], grid);
  return predictedOffset(shift, { x: APART, y: HALF, nx: 0, ny: 1 });
}

it("edges where the job has slits, be they ever so plain, hardly bend where faint slits have all cuts", () => {
  expect(Math.abs(offAt(0.12))).toBeLessThan(0.15);
  expect(Math.abs(offAt())).toBeGreaterThan(0.25);
});

it("a line that is printed a millimetre inside of all of a piece's cut, be it plainer than the slit, does not shrink it", () => {
  const shift = registerCoarsely(piece(0, 0, 7, 1, -1), grid);
  for (const [nx, ny] of [[1, 0], [0, 1], [-1, 0], [0, -1]]) expect(Math.abs(predictedOffset(shift, { x: nx * HALF, y: ny * HALF, nx, ny }))).toBeLessThan(0.15);
});
