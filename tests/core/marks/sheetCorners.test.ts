import fc from "fast-check";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import type { Picture } from "../../../core/image/picture.ts";
import { sheetCorners } from "../../../core/marks/sheetCorners.ts";

const [W, H] = [1400, 1000];
type Place = readonly [number, number];

/** A sheet with artwork on a table that gets darker to one side. */
async function draw(corners: readonly Place[], { sheet = "#e8e6e0", table = ["#6a5a48", "#4a3c30"] }: { sheet?: string; table?: readonly [string, string] } = {}): Promise<Picture> {
  const [x, y] = [0, 1].map((k) => corners.reduce((sum, c) => sum + c[k], 0) / 4);
  const within = (share: number) => corners.map((c) => `${x + share * (c[0] - x)},${y + share * (c[1] - y)}`).join(" ");
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${W}" height="${H}"><defs><linearGradient id="t"><stop stop-color="${table[0]}"/><stop offset="1" stop-color="${table[1]}"/></linearGradient></defs>
    <rect width="${W}" height="${H}" fill="url(#t)"/><polygon points="${within(1)}" fill="${sheet}"/><polygon points="${within(0.8)}" fill="${table[1]}"/></svg>`;
  const { data, info } = await sharp(Buffer.from(svg)).flatten().blur(1).raw().toBuffer({ resolveWithObject: true });
  return { width: info.width, height: info.height, channels: 3, data: new Uint8Array(data), transfer: "srgb" };
}

describe("the sheet's corners", () => {
  it("are found to a pixel or two of the copy however the sheet lies and leans, in order round it", async () => {
    const near = (v: number) => fc.integer({ min: v - 90, max: v + 90 });
    const corner = (x: number, y: number): fc.Arbitrary<Place> => fc.tuple(near(x), near(y));
    await fc.assert(fc.asyncProperty(fc.tuple(corner(250, 200), corner(1150, 200), corner(1150, 800), corner(250, 800)), async (corners) => {
      const found = sheetCorners(await draw(corners));
      expect(found).not.toBeNull();
      // Pixel centres are whole numbers, half a pixel from the drawing's own count.
      const off = (found ?? []).map((p) => corners.map(([x, y]) => Math.hypot(p.x + 0.5 - x, p.y + 0.5 - y)));
      const nearest = off.map((each) => each.indexOf(Math.min(...each)));
      for (const each of off) expect(Math.min(...each)).toBeLessThan(5);
      const steps = nearest.map((at, i) => (nearest[(i + 1) % 4] - at + 4) % 4);
      expect(new Set(steps).size).toBe(1);
      expect([1, 3]).toContain(steps[0]);
    }), { numRuns: 25, seed: 4 });
  });

  const square: readonly Place[] = [[250, 200], [1150, 220], [1130, 800], [270, 780]];

  it("are none where there is no sheet, or where it has the table's colour", async () => {
    expect(sheetCorners(await draw([[700, 500], [701, 500], [701, 501], [700, 501]]))).toBeNull();
    expect(sheetCorners(await draw(square, { sheet: "#6a5a48", table: ["#6a5a48", "#6a5a48"] }))).toBeNull();
  });
});
