import { describe, expect, it } from "vitest";
import { locate } from "../../../../core/cuts/locate.ts";
import type { Chunk } from "../../../../core/cuts/strips/strip.ts";
import { isMelted, meltedShift, wallDoubt } from "../../../../core/cuts/walls/walled.ts";
import { integral } from "../../../../core/image/normal.ts";
import { chunkWith, grid } from "../profile.ts";

const WIDTH = 0.45;

/** The edge of a dark face in its place, a wall so wide (mm) and so light as a share of the table, whose light rises outwards by so much per mm. */
function edge(wall: number, light: number, slope: number): Chunk {
  const profile = Float32Array.from({ length: grid.count }, (_, i) => {
    const t = i * grid.step - grid.reach;
    return 0.05 + 0.35 * (light * integral(t / WIDTH) + (1 - light) * integral((t - wall) / WIDTH)) + slope * Math.max(0, t - wall);
  });
  return { ...chunkWith({ at: 0, width: WIDTH, depth: 0 }), profile, wall };
}

describe("an edge with a wall that is seen narrower than its blur", () => {
  it.each([0.05, 0.12, 0.2])("is placed to within twice its doubt, whatever the wall of %d mm looks like", (wall) => {
    expect(isMelted(wall, WIDTH)).toBe(true);
    for (const light of [0, 0.4, 1]) {
      const t = locate(edge(wall, light, 0), grid, "step", 0.1, WIDTH)?.t ?? NaN;
      expect(Math.abs(t - meltedShift(wall))).toBeLessThan(2 * wallDoubt(wall, WIDTH));
    }
  });

  it("is two steps where it is wide enough to be seen, on a table in the shade of the board too", () => {
    expect(isMelted(0.8, WIDTH)).toBe(false);
    expect(Math.abs(locate(edge(0.8, 0.4, 0.04), grid, "step", 0.1, WIDTH)?.t ?? NaN)).toBeLessThan(0.15);
  });

  it("and was found at its end, since it is as dark as the face, may lie a wall's width inside of that", () => {
    const [narrow, wall] = [0.12, 0.6];
    const profile = Float32Array.from({ length: grid.count }, (_, i) => 0.05 + 0.35 * integral((i * grid.step - grid.reach - wall) / narrow));
    const found = locate({ ...chunkWith({ at: 0, width: narrow, depth: 0 }), profile, wall }, grid, "step", wall, narrow);
    expect(Math.abs(found?.t ?? NaN)).toBeLessThan(2 * (found?.sigma ?? 0));
    expect(found?.sigma).toBeGreaterThan(0.2);
  });
});
