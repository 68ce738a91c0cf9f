import { describe, expect, it } from "vitest";
import { evidenceOf, profileOf } from "../../../../core/cuts/evidence/evidence.ts";
import { integral } from "../../../../core/image/normal.ts";
import { stripGrid, type Chunk } from "../../../../core/cuts/strips/strip.ts";
import { gaussian } from "../../../support/gaussian.ts";

const BLUR = 0.06;
const grid = stripGrid(3, 11.8);
const noise = gaussian(3);

/** White board, a slit 0.25 mm wide at `slit` (NaN: none), dark print from `print` on. */
function chunkOf(slit: number, print: number): Chunk {
  const profile = Float32Array.from({ length: grid.count }, (_, i) => {
    const t = i * grid.step - grid.reach;
    const dark = Number.isNaN(slit) ? 0 : integral((t - slit + 0.125) / BLUR) - integral((t - slit - 0.125) / BLUR);
    return (0.85 - 0.79 * integral((t - print) / BLUR)) * (1 - 0.95 * dark) + 0.003 * noise();
  });
  return { s: 2.5, length: 5, x: 0, y: 2.5, nx: 1, ny: 0, tx: 0, ty: 1, curvature: 0, profile, stations: 20, ux: 1, uy: 0, scale: 11.8 };
}

const dark = (chunk: Chunk, blur: number): Float32Array => evidenceOf(profileOf(chunk), grid, "line", blur, -1);
const placeOf = (evidence: Float32Array): number => evidence.indexOf(Math.max(...evidence)) * grid.step - grid.reach;

describe("evidence for a dark line", () => {
  it("is seen in a sharp picture between the board and print that ends beside it, not in one as blurred as the way between", () => {
    const chunk = chunkOf(-0.4, 0);
    expect(Math.max(...dark(chunk, BLUR))).toBeGreaterThan(20);
    expect(Math.abs(placeOf(dark(chunk, BLUR)) + 0.4)).toBeLessThan(0.08);
    expect(Math.max(...dark(chunk, 0.2))).toBeLessThan(0.25 * Math.max(...dark(chunk, BLUR)));
  });

  it("is none where there is only the print's edge", () => {
    expect(Math.max(...dark(chunkOf(NaN, 0), BLUR))).toBeLessThan(2);
  });
});
