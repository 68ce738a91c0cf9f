import fc from "fast-check";
import { expect, test } from "vitest";
import { huePlanes } from "../../../../core/cuts/strips/huePlane.ts";
import type { Picture } from "../../../../core/image/picture.ts";
import type { Station } from "../../../../core/job/walk.ts";

const SIDE = 12;
/** A picture of one colour, linear light as 16 bits. */
const plain = (colour: readonly number[]): Picture => ({ width: SIDE, height: SIDE, channels: 3, transfer: "linear", data: Uint16Array.from({ length: 3 * SIDE * SIDE }, (_, k) => Math.round(65535 * colour[k % 3])) });
const piece: Station[] = [{ s: 0, x: 6, y: 6, nx: 1, ny: 0, tx: 0, ty: 1, corner: 9 }];
const mixFor = (colour: readonly number[], board: readonly [number, number, number]) => huePlanes(plain(colour), ({ x, y }) => ({ frame: "picture", x, y }), board)(piece);
const along = (mix: readonly number[], light: readonly number[]): number => mix.reduce((sum, w, k) => sum + w * light[k], 0);

test("in the mix bare board is nothing, however lit, and print with a colour of its own is light", () => {
  const share = fc.double({ min: 0.02, max: 0.9, noNaN: true });
  const light = fc.double({ min: 0.3, max: 0.95, noNaN: true });
  fc.assert(fc.property(fc.tuple(share, share, share), fc.tuple(light, light, light), (shares, board) => {
    const colour = shares.map((v, k) => v * board[k]);
    const mix = mixFor(colour, board);
    if (Math.max(...shares) - Math.min(...shares) < 0.14) expect(mix).toBeNull();
    if (!mix) return;
    expect(mix.reduce((sum, w) => sum + Math.abs(w), 0)).toBeCloseTo(1, 9);
    expect(Math.abs(along(mix, board))).toBeLessThan(1e-12);
    expect(along(mix, colour)).toBeGreaterThan(0.02);
  }));
});

test("print of the board's own colour, lighter or darker, and a grey picture have none", () => {
  expect(mixFor([0.35, 0.25, 0.15], [0.7, 0.5, 0.3])).toBeNull();
  const grey: Picture = { width: SIDE, height: SIDE, channels: 1, transfer: "srgb", data: new Uint8Array(SIDE * SIDE).fill(90) };
  expect(huePlanes(grey, ({ x, y }) => ({ frame: "picture", x, y }))(piece)).toBeNull();
});
