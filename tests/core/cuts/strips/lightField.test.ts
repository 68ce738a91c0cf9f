import { describe, expect, it } from "vitest";
import { lightField } from "../../../../core/cuts/strips/lightField.ts";
import { samplerOf } from "../../../../core/image/sampler.ts";
import type { Mark } from "../../../../core/job/schema.ts";

const [WIDTH, HEIGHT] = [300, 200];
const PLACES = [[20, 20], [150, 20], [280, 20], [280, 100], [280, 180], [150, 180], [20, 180], [20, 100]];
const marks = PLACES.map(([x, y], i): Mark => ({ id: `M${i}`, shape: "dot", x, y, diameter: 6 }));
const toPicture = (p: { x: number; y: number }) => ({ frame: "picture" as const, x: p.x, y: HEIGHT - 1 - p.y });

/** A sheet one pixel to the millimetre, under light that falls off to one side and to the corners; dark print in its middle, and about mark `on` where there is one. */
function sheet(light: (x: number, y: number) => number, on: number | null = null): ReturnType<typeof samplerOf> {
  const data = new Uint16Array(WIDTH * HEIGHT);
  for (let v = 0; v < HEIGHT; v++) {
    for (let x = 0; x < WIDTH; x++) {
      const y = HEIGHT - 1 - v;
      const printed = (x > 60 && x < 240 && y > 60 && y < 140) || (on !== null && Math.hypot(x - marks[on].x, y - marks[on].y) < 12);
      data[v * WIDTH + x] = Math.round(65535 * 0.6 * light(x, y) * (printed ? 0.1 : 1));
    }
  }
  return samplerOf({ width: WIDTH, height: HEIGHT, channels: 1, data, transfer: "linear" });
}

const uneven = (x: number, y: number): number => Math.exp(0.3 * (x / WIDTH - 0.5) - 0.2 * (y / HEIGHT - 0.5) - 0.15 * (((x - 150) / 150) ** 2 + ((y - 100) / 100) ** 2));

describe("the light over a sheet, by the ground beside its marks", () => {
  it("is followed across print that says nothing of it", () => {
    const field = lightField(sheet(uneven), marks, toPicture);
    for (const [x, y] of [[100, 80], [150, 100], [230, 130], [70, 120]]) expect(field({ x, y }) / field({ x: 150, y: 100 }) / (uneven(x, y) / uneven(150, 100))).toBeCloseTo(1, 1);
    expect(field({ x: 270, y: 30 })).toBeGreaterThan(1.15 * field({ x: 30, y: 170 }));
  });

  it("passes over a mark that stands on dark print", () => {
    const [clean, one] = [lightField(sheet(uneven), marks, toPicture), lightField(sheet(uneven, 3), marks, toPicture)];
    for (const [x, y] of [[100, 80], [230, 130]]) expect(one({ x, y }) / clean({ x, y })).toBeCloseTo(1, 1);
  });

  it("is even where too few marks are seen", () => {
    expect(lightField(sheet(uneven), marks.slice(0, 3), toPicture)({ x: 10, y: 10 })).toBe(1);
  });
});
