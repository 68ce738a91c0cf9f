import { describe, expect, it } from "vitest";
import { distort, type Lens } from "../../../core/camera/lens.ts";
import { lensFor, profileFor } from "../../../core/camera/match.ts";
import { fromSensor } from "../../../core/camera/orientation.ts";
import type { CameraProfile, ScannerProfile } from "../../../core/camera/profile.ts";
import type { PictureExif } from "../../../core/image/picture.ts";

const lens: Lens = { fx: 3900, fy: 3950, cx: 2040, cy: 1470, k1: -0.2, k2: 0.05, p1: 0.0012, p2: -0.0008, k3: 0 };
const exif = { make: "Fixture", model: "One", lensModel: "Main", focalLength: 5.4, focalLength35: 26 };
const shared = {
  format: "kerfmark.camera/1" as const, date: "2026-11-01", target: "dots", pictures: 10, points: 1700, rms: 0.05,
  residuals: { columns: 1, rows: 1, dx: [0], dy: [0], count: [1700] }, verdict: { grade: "good" as const, findings: [] },
};
const camera: CameraProfile = {
  ...shared, kind: "camera", name: "Shop phone", exif, picture: { width: 4000, height: 3000 }, lens, estimated: ["fx", "fy", "cx", "cy", "k1"],
  covariance: Array.from({ length: 9 }, (_, i) => Array.from({ length: 9 }, (_n, j) => (i === j ? 1 : 0))),
};
const scanner: ScannerProfile = {
  ...shared, kind: "scanner", name: "Flatbed", exif: {}, picture: { width: 2500, height: 3500 }, pxPerMm: { x: 11.8, y: 11.82 }, squareness: 0.2, bow: { x: 1, y: 0 }, run: { x: 0, y: 0 },
  covariance: Array.from({ length: 7 }, () => new Array<number>(7).fill(0)),
};
const lying = { width: 4000, height: 3000, exif };

describe("lensFor", () => {
  it("gives the lens as it is, without a word, to a picture of that camera", () => {
    expect(lensFor(camera, lying)).toEqual({ kind: "camera", lens, covariance: camera.covariance, warnings: [] });
  });

  const others: readonly [string, PictureExif, string][] = [
    ["another camera", { ...exif, model: "Two" }, "was taken with Fixture Two"],
    ["another lens", { ...exif, lensModel: "Wide" }, "another lens (Wide instead of Main)"],
    ["another focal length", { ...exif, focalLength: 9 }, "zoomed: its focal length is 9 mm"],
    ["a crop by the camera", { ...exif, focalLength35: 52 }, "equals 52 mm on film"],
  ];
  it.each(others)("does not use the profile for %s, and says why in one sentence", (_name, stated, words) => {
    const match = lensFor(camera, { ...lying, exif: stated });
    expect(match.kind).toBe("none");
    expect(match.warnings).toEqual([expect.stringContaining(words)]);
    expect(match.warnings[0]).toContain('"Shop phone" is not used.');
  });

  it("does not mind rounding of focal lengths or the case of names", () => {
    expect(lensFor(camera, { ...lying, exif: { ...exif, make: "FIXTURE ", focalLength: 5.41 } })).toMatchObject({ kind: "camera", warnings: [] });
  });

  it("uses it with a warning where the picture does not name its camera", () => {
    expect(lensFor(camera, { width: 4000, height: 3000 })).toMatchObject({ kind: "camera", warnings: [expect.stringContaining("does not say which camera")] });
  });

  it("does not use it for a crop, and scales it with a warning for a smaller copy: the same bending in the same places", () => {
    expect(lensFor(camera, { ...lying, width: 3900 })).toMatchObject({ kind: "none", warnings: [expect.stringContaining("cropped")] });
    const half = lensFor(camera, { ...lying, width: 2000, height: 1500 });
    if (half.kind !== "camera") throw new Error("not used");
    expect(half.warnings).toEqual([expect.stringContaining("smaller or larger copy")]);
    const [whole, small] = [distort(lens, 3600, 400), distort(half.lens, 3600.5 / 2 - 0.5, 400.5 / 2 - 0.5)];
    expect(small.x).toBeCloseTo((whole.x + 0.5) / 2 - 0.5, 9);
    expect(small.y).toBeCloseTo((whole.y + 0.5) / 2 - 0.5, 9);
  });

  it("turns with the picture where EXIF says how it was turned; else a quarter turn to the right is assumed, and said", () => {
    for (const orientation of [6, 8]) {
      const upright = lensFor(camera, { width: 3000, height: 4000, exif: { ...exif, orientation } });
      if (upright.kind !== "camera") throw new Error("not used");
      expect(upright.warnings).toEqual([]);
      const there = fromSensor(orientation, 4000, 3000, distort(lens, 3600, 400));
      const turned = fromSensor(orientation, 4000, 3000, { x: 3600, y: 400 });
      const here = distort(upright.lens, turned.x, turned.y);
      expect(Math.hypot(here.x - there.x, here.y - there.y)).toBeLessThan(1e-8);
    }
    expect(lensFor(camera, { width: 3000, height: 4000, exif })).toMatchObject({ kind: "camera", warnings: [expect.stringContaining("quarter turn to the right is assumed")] });
  });

  it("wants the whole bed of a scanner at its own resolution", () => {
    expect(lensFor(scanner, { width: 2500, height: 3500 })).toMatchObject({ kind: "scanner", warnings: [], scanner: { squareness: 0.2 } });
    expect(lensFor(scanner, { width: 2500, height: 3400 })).toMatchObject({ kind: "none", warnings: [expect.stringContaining("whole bed")] });
  });
});

describe("profileFor", () => {
  const older = { ...camera, name: "Older", date: "2026-01-01" };
  it("finds the newest profile of the camera that the picture names", () => {
    expect(profileFor([older, camera, scanner], exif)?.name).toBe("Shop phone");
    expect(profileFor([older], { make: "fixture", model: "one" })?.name).toBe("Older");
  });
  it("finds none for another camera or lens, for a picture that names none, and for a profile that does not", () => {
    expect(profileFor([camera], { ...exif, model: "Two" })).toBeUndefined();
    expect(profileFor([camera], { ...exif, lensModel: "Wide" })).toBeUndefined();
    expect(profileFor([camera], undefined)).toBeUndefined();
    expect(profileFor([{ ...camera, exif: {} }], exif)).toBeUndefined();
  });
});
