import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { liesOnSheet } from "../../../../core/check/layout/onSheet.ts";
import type { Picture } from "../../../../core/image/picture.ts";
import type { PlaneMap } from "../../../../core/marks/localMap.ts";

const sheet = { width: 400, height: 300, thickness: 1.6 };
const [WIDTH, HEIGHT] = [1400, 1000];
const turn = 0.3;

/** Print to picture: 2.1 px/mm, turned, the sheet's middle at (700, 500), moved by `off` px. */
function view(off = 0): PlaneMap {
  const [cos, sin] = [2.1 * Math.cos(turn), 2.1 * Math.sin(turn)];
  return {
    toPicture: ({ x, y }) => ({ x: 700 + off + cos * (x - 200) + sin * (y - 150), y: 500 + sin * (x - 200) - cos * (y - 150) }),
    toPrint: () => null,
  };
}

/** A white sheet on a dark table. */
async function picture(shown: boolean): Promise<Picture> {
  const corners = [[0, 0], [400, 0], [400, 300], [0, 300]].map(([x, y]) => view().toPicture({ x, y })).map((p) => `${(p?.x ?? 0) + 0.5},${(p?.y ?? 0) + 0.5}`).join(" ");
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}"><rect width="100%" height="100%" fill="#404040"/>${shown ? `<polygon points="${corners}" fill="#e8e8e0"/>` : ""}</svg>`;
  const data = new Uint8Array(await sharp(Buffer.from(svg)).removeAlpha().raw().toBuffer());
  return { width: WIDTH, height: HEIGHT, channels: 3, data, transfer: "srgb" };
}

describe("liesOnSheet", () => {
  it("is so where the view has the sheet's corners where the picture shows them, and not where it has them elsewhere or no sheet is seen", async () => {
    const seen = await picture(true);
    expect(liesOnSheet(seen, { sheet }, view())).toBe(true);
    expect(liesOnSheet(seen, { sheet }, view(10))).toBe(true);
    expect(liesOnSheet(seen, { sheet }, view(60))).toBe(false);
    expect(liesOnSheet(seen, { sheet: { ...sheet, width: 330 } }, view())).toBe(false);
    expect(liesOnSheet(await picture(false), { sheet }, view())).toBe(false);
  });
});
