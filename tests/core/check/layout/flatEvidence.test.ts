import { describe, expect, it } from "vitest";
import { flatEvidence } from "../../../../core/check/layout/flatEvidence.ts";

const PX_PER_MM = 11.8;
const HALF = 3300;
const REFINED = 0.6;
const corners = [[12, 20], [306, 14], [300, 432], [18, 436]];

/** Print points seen on a scanner: turned a little, with unequal scales. */
function scanned([x, y]: readonly number[]): { x: number; y: number } {
  return { x: 80 + PX_PER_MM * (1.0005 * x + 0.01 * y), y: 5400 - PX_PER_MM * (y - 0.01 * x) };
}

describe("how much a layout speaks for a flat scan", () => {
  it("is much where marks lie as on a scanner, more with a fifth that shows the lens, and nothing with three", () => {
    const pairs = corners.map((p) => ({ from: { x: p[0], y: p[1] }, to: scanned(p) }));
    const four = flatEvidence(pairs, REFINED, HALF);
    expect(four).toBeGreaterThan(7);
    expect(flatEvidence([...pairs, { from: { x: 100, y: 16 }, to: scanned([100, 16]) }], REFINED, HALF)).toBeGreaterThan(four + 3);
    expect(flatEvidence(pairs.slice(0, 3), REFINED, HALF)).toBe(0);
  });

  it("is nothing where marks are taken for others, and where one scale is not that of a scanner", () => {
    const turned = corners.map((p, i) => ({ from: { x: p[0], y: p[1] }, to: scanned(corners[(i + 2) % 4]) }));
    expect(flatEvidence(turned, REFINED, HALF)).toBe(0);
    const squeezed = corners.map((p) => ({ from: { x: p[0], y: p[1] }, to: { ...scanned(p), x: 0.97 * scanned(p).x } }));
    expect(flatEvidence(squeezed, REFINED, HALF)).toBe(0);
  });
});
