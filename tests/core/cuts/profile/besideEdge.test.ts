import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { clearOfEdge } from "../../../../core/cuts/profile/besideEdge.ts";
import { locate, shareOf } from "../../../../core/cuts/locate.ts";
import { stripGrid, type Chunk } from "../../../../core/cuts/strips/strip.ts";
import { gaussian } from "../../../support/gaussian.ts";

const PX_PER_MM = 11.8;
const BLUR = 0.8 / PX_PER_MM;
const WIDTH = Math.hypot(BLUR, 0.25 / Math.sqrt(12));
const grid = stripGrid(3, PX_PER_MM);
const noise = gaussian(5);

/** Light across a slit at `at`, 0.25 mm wide unless told, which takes all but `inside` away, where print of the light `print` begins on the far side of `edge`; drawn sharp and blurred by sums. */
function chunkOf({ at, edge, print, inside = 0.03, half = 0.125 }: { at: number; edge: number; print: number; inside?: number; half?: number }): Chunk {
  const sharp = (x: number): number => (Math.abs(x - at) < half ? inside : x > edge ? print : 0.85);
  const profile = Float32Array.from({ length: grid.count }, (_, i) => {
    let [sum, weights] = [0, 0];
    for (let k = -80; k <= 80; k++) {
      const w = Math.exp(-0.5 * (k / 20) ** 2);
      sum += w * sharp(i * grid.step - grid.reach + (k * BLUR) / 20);
      weights += w;
    }
    return sum / weights + 0.002 * noise();
  });
  return { s: 2.5, length: 5, x: 0, y: 2.5, nx: 1, ny: 0, tx: 0, ty: 1, curvature: 0, profile, stations: 20, ux: 1, uy: 0, scale: PX_PER_MM };
}

function seen(chunk: Chunk, start: number) {
  const line = locate(chunk, grid, "line", start, WIDTH);
  const found = line && { ...line, share: shareOf(line) };
  return { found, clear: found && clearOfEdge(chunk, grid, found, { width: WIDTH, half: 0.125, blur: BLUR }) };
}

describe("a slit beside the edge of the print", () => {
  it("is found where it is, which a symmetric line is not", () => {
    fc.assert(fc.property(fc.double({ min: -0.45, max: -0.2, noNaN: true }), fc.double({ min: 0.05, max: 0.5, noNaN: true }), fc.double({ min: -0.5, max: 0.5, noNaN: true }), (beside, print, edge) => {
      const at = edge + beside;
      const { clear } = seen(chunkOf({ at, edge, print }), at);
      expect(clear).not.toBeNull();
      expect(Math.abs((clear?.t ?? NaN) - at)).toBeLessThan(0.02 + 2 * Math.abs(clear?.beside ?? 0));
    }), { numRuns: 40 });
    const { found, clear } = seen(chunkOf({ at: 0.3, edge: 0, print: 0.35 }), 0.3);
    expect(Math.abs((found?.t ?? 0) - 0.3)).toBeGreaterThan(0.03);
    expect(Math.abs((clear?.t ?? 0) - 0.3)).toBeLessThan(0.005);
  });

  it("that the picture resolves is found where the print ends within it, by its own width and not by that of the normal curve fitted to it", () => {
    const half = 0.22;
    for (const edge of [-0.15, 0, 0.15]) {
      const chunk = chunkOf({ at: 0.05, edge: 0.05 + edge, print: 0.4, half });
      const broad = Math.hypot(BLUR, 0.17);
      const line = locate(chunk, grid, "line", 0, broad);
      const clear = line && clearOfEdge(chunk, grid, { ...line, share: shareOf(line) }, { width: broad, half, blur: BLUR });
      expect(Math.abs((clear?.t ?? NaN) - 0.05)).toBeLessThan(0.01);
    }
  });

  it("is not made out of an edge alone, nor of one beside a slit that is as dark as the print", () => {
    fc.assert(fc.property(fc.double({ min: -0.5, max: 0.5, noNaN: true }), (edge) => {
      for (const chunk of [chunkOf({ at: 9, edge, print: 0.1 }), chunkOf({ at: edge + 0.3, edge, print: 0.03 })]) {
        expect(seen(chunk, edge).clear).toBeNull();
      }
    }), { numRuns: 20 });
  });

  it("is left as a symmetric line has found it where the ground is alike on both sides", () => {
    const { found, clear } = seen(chunkOf({ at: 0.1, edge: 9, print: 0.1 }), 0.1);
    expect(clear).toBe(found);
  });
});
