import { beforeAll, describe, expect, it } from "vitest";
import { calibrateCamera, type TargetPicture } from "../../../../core/camera/calibrate/camera.ts";
import { LENS_PARAMETERS, type Lens } from "../../../../core/camera/lens.ts";
import { cornersOf, squaresOf } from "../../../../core/camera/target/board.ts";
import { findBoard } from "../../../../core/camera/target/findBoard.ts";
import type { FoundTarget } from "../../../../core/camera/target/findDots.ts";
import { type BoardTarget, readTarget } from "../../../../core/camera/target/target.ts";
import { project, type View } from "../../../../core/camera/view.ts";
import type { Picture } from "../../../../core/image/picture.ts";
import type { Vision } from "../../../../core/image/vision.ts";
import { loadVision } from "../../../../electron/host/vision.ts";
import { boardPattern, drawPattern } from "../../../support/boardPicture.ts";
import { viewOf } from "../../../support/targetPicture.ts";

const target: BoardTarget = { format: "kerfmark.target/1", id: "board", kind: "charuco", columns: 12, rows: 9, square: 20, marker: 14, dictionary: "DICT_5X5_100" };
const corners = cornersOf(target);
const [WIDTH, HEIGHT] = [960, 720];
const lens: Lens = { fx: 780, fy: 780, cx: 483, cy: 356, k1: -0.2, k2: 0.08, p1: 0, p2: 0, k3: 0 };
/** Tilts, turn, distance and shift: the last four show only a part of the board. */
const VIEWS: readonly (readonly [number, number, number, number, number, number])[] = [
  [0, 0, 0, 210, 0, 0], [0.5, 0, 0.1, 240, 10, 5], [-0.5, 0, 3.1, 240, -10, 0], [0, 0.5, 1.6, 230, 0, 10],
  [0, -0.5, -1.6, 190, 40, -30], [0.3, 0.3, 0.8, 160, -60, -45], [-0.3, 0.3, 0, 160, 60, 45], [0.3, -0.3, 0, 160, -60, 45],
];

let vision: Vision;
let views: View[];
let pictures: Picture[];
let found: FoundTarget[];
beforeAll(async () => {
  vision = await loadVision();
  const pattern = boardPattern(target, vision);
  views = VIEWS.map(([a, b, turn, distance, x, y]) => viewOf(lens, { x: 120, y: 90 }, [a, b], turn, distance, [x, y]));
  pictures = views.map((view, i) => drawPattern(pattern, view, WIDTH, HEIGHT, { seed: i + 1 }));
  found = pictures.map((picture) => findBoard(picture, target, vision));
}, 300_000);

const meanOf = (values: readonly number[]): number => values.reduce((s, v) => s + v, 0) / values.length;

describe("coded chessboard", () => {
  it("is read by the vision library where we say that its corners are, in our pixels", () => {
    pictures.forEach((picture, i) => {
      const seen = vision.boardCorners({ width: WIDTH, height: HEIGHT, data: picture.data as Uint8Array }, target);
      const off = seen.map(({ id, at }) => {
        const q = project(views[i], corners[id].x, corners[id].y);
        return { x: at.x - q.x, y: at.y - q.y };
      });
      expect(seen.length).toBeGreaterThan(20);
      // Uncorrected they would be half a pixel off.
      expect(Math.abs(meanOf(off.map((d) => d.x)))).toBeLessThan(0.06);
      expect(Math.abs(meanOf(off.map((d) => d.y)))).toBeLessThan(0.06);
    });
  });
  it("is found in any turn and tilt, whole or in part, every corner within the picture, to two hundredths of a pixel", () => {
    found.forEach((f, i) => {
      if (!f.ok) throw new Error(`view ${i}: ${f.reason}`);
      const inside = corners.filter(({ x, y }) => {
        const q = project(views[i], x, y);
        return q.x > 18 && q.y > 18 && q.x < WIDTH - 19 && q.y < HEIGHT - 19;
      });
      expect(f.points.length).toBeGreaterThanOrEqual(inside.length);
      const off = f.points.map((p) => {
        const q = project(views[i], p.x, p.y);
        return { x: p.u - q.x, y: p.v - q.y };
      });
      expect(Math.sqrt(meanOf(off.map((d) => d.x ** 2 + d.y ** 2)))).toBeLessThan(0.02);
      expect(Math.max(...off.map((d) => Math.hypot(d.x, d.y)))).toBeLessThan(0.08);
      expect(Math.hypot(meanOf(off.map((d) => d.x)), meanOf(off.map((d) => d.y)))).toBeLessThan(0.005);
    });
    expect(found.map((f) => (f.ok ? f.points.length : 0)).filter((n) => n < corners.length).length).toBeGreaterThanOrEqual(3);
  });
  it("gives the lens that drew the pictures, within the uncertainty that the profile states", () => {
    const set = found.flatMap((f, i): TargetPicture[] => (f.ok ? [{ name: `view-${i}`, width: WIDTH, height: HEIGHT, points: f.points }] : []));
    const result = calibrateCamera(set, { name: "camera", date: "2026-11-28", target: target.id });
    if (!result.ok) throw new Error(result.reason);
    const { lens: made, covariance, estimated, rms } = result.profile;
    expect(rms).toBeLessThan(0.02);
    expect(estimated).toContain("k2");
    for (const name of estimated) {
      const i = LENS_PARAMETERS.indexOf(name);
      expect(Math.abs(made[name] - lens[name]) / Math.sqrt(covariance[i][i]), name).toBeLessThan(4);
    }
    // As sure as it should be, so that the test above can fail.
    expect(Math.sqrt(covariance[0][0])).toBeLessThan(0.1);
    expect(Math.sqrt(covariance[4][4])).toBeLessThan(1e-3);
  });
  it("is not found in a mirror, nor where there is none, nor where another board is meant", () => {
    const { data, width } = pictures[0];
    const mirrored = data.map((_, i) => data[i - (i % width) + (width - 1 - (i % width))]);
    expect(findBoard({ ...pictures[0], data: mirrored }, target, vision)).toMatchObject({ ok: false, reason: expect.stringContaining("0 corners") });
    expect(findBoard({ ...pictures[0], data: new Uint8Array(WIDTH * HEIGHT).fill(128) }, target, vision)).toMatchObject({ ok: false });
    expect(findBoard(pictures[0], { ...target, dictionary: "DICT_4X4_100" }, vision)).toMatchObject({ ok: false });
  });
  it("numbers markers row by row in the light squares, the upper left square dark unless the board is of the old order", () => {
    const first = (t: BoardTarget) => squaresOf(t).slice(0, 3).map((s) => s.marker);
    expect(first(target)).toEqual([null, 0, null]);
    expect(first({ ...target, legacy: true })).toEqual([null, 0, null]);
    expect(first({ ...target, rows: 8, legacy: true })).toEqual([0, null, 1]);
  });
  it("names what is wrong with a board's target file", () => {
    expect(readTarget(JSON.stringify(target))).toMatchObject({ ok: true });
    expect(readTarget(JSON.stringify({ ...target, dictionary: "DICT_5X5_50" }))).toMatchObject({ ok: false, errors: [expect.stringContaining("dictionary")] });
    expect(readTarget(JSON.stringify({ ...target, marker: 19.5, pitch: 15 }))).toMatchObject({ ok: false, errors: expect.arrayContaining([expect.stringContaining("pitch")]) });
  });
  it("reads boards of the old order by their corners' true numbers", () => {
    const old: BoardTarget = { ...target, rows: 8, legacy: true };
    const view = viewOf({ ...lens, k1: 0, k2: 0 }, { x: 120, y: 80 }, [0.2, 0], 0.2, 230);
    const f = findBoard(drawPattern(boardPattern(old, vision), view, WIDTH, HEIGHT, { seed: 20 }), old, vision);
    if (!f.ok) throw new Error(f.reason);
    const off = f.points.map((p) => {
      const q = project(view, p.x, p.y);
      return Math.hypot(p.u - q.x, p.v - q.y);
    });
    expect(Math.max(...off)).toBeLessThan(0.08);
  }, 60_000);
});
