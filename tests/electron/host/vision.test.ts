import { beforeAll, describe, expect, it } from "vitest";
import type { GreyWindow, Vision } from "../../../core/image/vision.ts";
import { loadVision } from "../../../electron/host/vision.ts";

let vision: Vision;
beforeAll(async () => {
  vision = await loadVision();
});

function windowOf(width: number, height: number, value: (x: number, y: number) => number): GreyWindow {
  return { width, height, data: Uint8Array.from({ length: width * height }, (_, i) => value(i % width, Math.floor(i / width))) };
}

/** An ellipse with half axes a along x and b along y, hard-edged. */
const ellipse = (cx: number, cy: number, a: number, b: number, ink: number, board: number): GreyWindow =>
  windowOf(120, 90, (x, y) => (((x - cx) / a) ** 2 + ((y - cy) / b) ** 2 < 1 ? ink : board));

describe("the vision library", () => {
  it("is loaded once", async () => {
    expect(await loadVision()).toBe(vision);
    expect(vision.version).toMatch(/^4\.13/);
  });

  it.each([["dark", 20, 220], ["light", 240, 90]] as const)("finds the ellipse of a %s mark in the window's pixels", (tone, ink, board) => {
    const found = vision.largestEllipse(ellipse(61.4, 40.7, 30, 20, ink, board), tone);
    if (!found.ok) throw new Error(found.reason);
    expect(Math.hypot(found.at.x - 61.4, found.at.y - 40.7)).toBeLessThan(0.2);
    // The outline runs through the centres of the outermost ink pixels, up to a pixel inside the true one.
    expect(found.axes[0]).toBeGreaterThan(58);
    expect(found.axes[0]).toBeLessThan(60.5);
    expect(found.axes[1]).toBeGreaterThan(38);
    expect(found.axes[1]).toBeLessThan(40.5);
  });

  it("takes the largest of several outlines", () => {
    const two = windowOf(120, 90, (x, y) => (Math.hypot(x - 30, y - 30) < 20 || Math.hypot(x - 95, y - 70) < 8 ? 20 : 220));
    const found = vision.largestEllipse(two, "dark");
    if (!found.ok) throw new Error(found.reason);
    expect(Math.hypot(found.at.x - 30, found.at.y - 30)).toBeLessThan(0.2);
  });

  it("says why where there is no ellipse", () => {
    const none = { ok: false, reason: "shows no outline large enough for an ellipse" };
    expect(vision.largestEllipse(windowOf(20, 20, (x, y) => (x === 9 && y === 9 ? 0 : 255)), "dark")).toEqual(none);
    expect(vision.largestEllipse(windowOf(40, 20, (x, y) => (y === 9 && x > 5 && x < 30 ? 0 : 255)), "dark")).toEqual(none);
    expect(vision.largestEllipse(windowOf(40, 20, () => 200), "light").ok).toBe(true);
  });

  it("refuses data that does not fit the window's size", () => {
    expect(() => vision.largestEllipse({ width: 10, height: 10, data: new Uint8Array(99) }, "dark")).toThrow("99 values");
  });

  it("holds no more memory after 200 calls, where 200 windows kept are seen", async () => {
    // The library's heap grows only when it is full: a ballast leaves too little for 200 windows. A comb's outline outweighs its window.
    const { loadOpenCV } = await import("@opencvjs/node");
    const cv = await loadOpenCV();
    const ballast = new cv.Mat(11_000, 10_000, cv.CV_8UC1);
    const side = 400;
    const comb = windowOf(side, side, (x, y) => (y > side - 20 || (y > 10 && x % 4 < 2 && x > 3) ? 10 : 240));
    for (let i = 0; i < 3; i++) vision.largestEllipse(comb, "dark");
    const before = vision.heapBytes();
    for (let i = 0; i < 200; i++) {
      const found = vision.largestEllipse(comb, "dark");
      if (!found.ok || 8 * found.points < side * side) throw new Error("the comb's outline is too short for this test");
    }
    expect(vision.heapBytes()).toBe(before);
    // The negative control.
    const kept = Array.from({ length: 200 }, () => new cv.Mat(side, side, cv.CV_8UC1));
    expect(vision.heapBytes()).toBeGreaterThan(before);
    for (const mat of [ballast, ...kept]) mat.delete();
  });
});
