import { execFile } from "node:child_process";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { inflateSync } from "node:zlib";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Lens } from "../../../core/camera/lens.ts";
import { readProfile } from "../../../core/camera/readProfile.ts";
import { marksOf } from "../../../core/camera/target/dots.ts";
import { readTarget } from "../../../core/camera/target/target.ts";
import { encodePicture } from "../../../electron/cli/verbs/samplePicture.ts";
import { loadVision } from "../../../electron/host/vision.ts";
import { boardPattern, drawPattern } from "../../support/boardPicture.ts";
import { drawMarks, scanOf, viewOf } from "../../support/targetPicture.ts";

const main = new URL("../../../electron/cli/main.ts", import.meta.url).pathname;
let folder = "";

function run(...args: string[]): Promise<{ status: number; out: string; err: string }> {
  return new Promise((resolve) => {
    execFile(process.execPath, [main, "calibrate", ...args], { cwd: folder }, (error, out, err) => {
      resolve({ status: typeof error?.code === "number" ? error.code : error ? -1 : 0, out, err });
    });
  });
}

/** What the first page of a PDF draws. */
function drawingOf(pdf: Buffer): string {
  const start = pdf.indexOf("stream\n") + 7;
  return inflateSync(pdf.subarray(start, pdf.indexOf("endstream", start))).toString("latin1");
}

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "kerfmark-calibrate-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

describe("kerfmark calibrate", () => {
  it("prints a target, and makes a profile from pictures of it", async () => {
    const printed = await run("--print-target", "grid.pdf");
    expect(printed).toMatchObject({ status: 0, err: "" });
    const pdf = await readFile(join(folder, "grid.pdf"), "latin1");
    // A4 lying: 297 x 210 mm in points.
    const box = /MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf);
    expect(Number(box?.[1])).toBeCloseTo((297 / 25.4) * 72, 1);
    expect(Number(box?.[2])).toBeCloseTo((210 / 25.4) * 72, 1);
    const read = readTarget(await readFile(join(folder, "grid.target.json"), "utf8"));
    if (!read.ok || read.target.kind !== "dots") throw new Error("no target of dots");
    const { target } = read;

    const lens: Lens = { fx: 1000, fy: 1000, cx: 602, cy: 446, k1: -0.15, k2: 0, p1: 0, p2: 0, k3: 0 };
    const tilts = [[0, 0], [0.5, 0], [-0.5, 0], [0, 0.5], [0, -0.5], [0.35, 0.35]] as const;
    const names = await Promise.all(tilts.map(async (tilt, i) => {
      const view = viewOf(lens, { x: 120, y: 67.5 }, tilt, 0.3 * i, 215);
      const picture = drawMarks(marksOf(target), view, 1200, 900, { seed: i + 1 });
      await writeFile(join(folder, `view-${i}.png`), await encodePicture(picture, { format: "png" }));
      return `view-${i}.png`;
    }));
    const made = await run("--target", "grid.target.json", "--out", "camera.json", "--name", "Bench camera", ...names);
    expect(made.status, made.err).toBe(0);
    expect(made.out).toContain("Bench camera");
    const profile = readProfile(await readFile(join(folder, "camera.json"), "utf8"));
    if (!profile.ok || profile.profile.kind !== "camera") throw new Error("no camera profile");
    expect(Math.abs(profile.profile.lens.fx - 1000)).toBeLessThan(2);
    expect(Math.abs(profile.profile.lens.k1 + 0.15)).toBeLessThan(0.01);
    expect(profile.profile.pictures).toBe(6);
  });
  it("prints the target on A3 too, and says which papers there are", async () => {
    expect(await run("--print-target", "large.pdf", "--paper", "a3")).toMatchObject({ status: 0, err: "", out: expect.stringContaining("300 mm below, 200 mm at the left") });
    const box = /MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(await readFile(join(folder, "large.pdf"), "latin1"));
    expect([Number(box?.[1]), Number(box?.[2])].map((pt) => Math.round((pt / 72) * 25.4))).toEqual([420, 297]);
    expect(await run("--print-target", "odd.pdf", "--paper", "letter")).toMatchObject({ status: 64, err: expect.stringContaining("Give a4 or a3.") });
  });

  it("prints a coded chessboard and makes a profile from pictures of parts of it", async () => {
    expect(await run("--print-target", "board.pdf", "--kind", "charuco")).toMatchObject({ status: 0, err: "" });
    const read = readTarget(await readFile(join(folder, "board.target.json"), "utf8"));
    if (!read.ok || read.target.kind !== "charuco") throw new Error("no board");
    // At true size: the page is in millimetres, and its dark squares have 15 of them.
    const drawn = drawingOf(await readFile(join(folder, "board.pdf")));
    expect(drawn).toContain(`${(72 / 25.4).toFixed(6)} 0 0 -${(72 / 25.4).toFixed(6)} 0 0 cm`);
    expect([...drawn.matchAll(/ 15 15 re/g)]).toHaveLength(Math.ceil((17 * 11) / 2));
    const lens: Lens = { fx: 800, fy: 800, cx: 482, cy: 356, k1: -0.15, k2: 0, p1: 0, p2: 0, k3: 0 };
    const pattern = boardPattern(read.target, await loadVision());
    const views = [[0, 0, 0, 0], [0.5, 0, 60, 0], [-0.5, 0, -60, 0], [0, 0.5, 0, 40], [0, -0.5, 0, -40], [0.35, 0.35, 50, 30]] as const;
    const names = await Promise.all(views.map(async ([a, b, x, y], i) => {
      const picture = drawPattern(pattern, viewOf(lens, { x: 127.5, y: 82.5 }, [a, b], 0.3 * i, 190, [x, y]), 960, 720, { seed: i + 60 });
      await writeFile(join(folder, `board-${i}.png`), await encodePicture(picture, { format: "png" }));
      return `board-${i}.png`;
    }));
    const made = await run("--target", "board.target.json", "--out", "board.json", ...names);
    expect(made.status, made.err).toBe(0);
    const profile = readProfile(await readFile(join(folder, "board.json"), "utf8"));
    if (!profile.ok || profile.profile.kind !== "camera") throw new Error("no camera profile");
    expect(Math.abs(profile.profile.lens.fx - 800)).toBeLessThan(2);
    expect(Math.abs(profile.profile.lens.k1 + 0.15)).toBeLessThan(0.01);
    expect(await run("--print-target", "odd.pdf", "--kind", "rings")).toMatchObject({ status: 64, err: expect.stringContaining("Give dots or charuco.") });
  });

  it("makes a scanner profile from drawn scans of the target, laid in two directions", async () => {
    const unit = { width: 1500, height: 1500, pxPerMm: { x: 5.006, y: 4.992 }, squareness: 0.4, bow: { x: 1.6, y: -0.9 }, run: { x: 0.5, y: -0.7 } };
    await run("--print-target", "glass.pdf");
    const read = readTarget(await readFile(join(folder, "glass.target.json"), "utf8"));
    if (!read.ok || read.target.kind !== "dots") throw new Error("no target of dots");
    // The print came out 0.1 % too long across and 0.05 % too short along; the rules say so.
    const target = { ...read.target, measured: { x: 200.2, y: 139.93, nominalX: 200, nominalY: 140 } };
    await writeFile(join(folder, "glass.target.json"), JSON.stringify(target));
    const names = await Promise.all([0.01, Math.PI / 2 + 0.02, 0.02].map(async (turn, i) => {
      const picture = drawMarks(marksOf(target), scanOf(unit, { x: 120, y: 67.5 }, turn, 3 * i - 3, 5 - 4 * i), unit.width, unit.height, { seed: i + 40 });
      await writeFile(join(folder, `scan-${i}.png`), await encodePicture(picture, { format: "png" }));
      return `scan-${i}.png`;
    }));
    const made = await run("--target", "glass.target.json", "--out", "scanner.json", "--name", "Flatbed", "--scanner", ...names);
    expect(made.status, made.err).toBe(0);
    expect(made.out).toContain("px/mm");
    const profile = readProfile(await readFile(join(folder, "scanner.json"), "utf8"));
    if (!profile.ok || profile.profile.kind !== "scanner") throw new Error("no scanner profile");
    const { pxPerMm, squareness, bow, run: scale, covariance, rms } = profile.profile;
    expect(rms).toBeLessThan(0.05);
    const found = [pxPerMm.x, pxPerMm.y, squareness, bow.x, bow.y, scale.x, scale.y];
    [unit.pxPerMm.x, unit.pxPerMm.y, unit.squareness, unit.bow.x, unit.bow.y, unit.run.x, unit.run.y].forEach((truth, i) => {
      expect(Math.abs(found[i] - truth), `term ${i}`).toBeLessThan(4 * Math.sqrt(covariance[i][i]) + [1e-4, 1e-4, 0.01, 0.02, 0.02, 0.02, 0.02][i]);
    });
  });

  it("says in one sentence what is wrong, with the exit status for it", async () => {
    expect(await run("a.png")).toMatchObject({ status: 64, err: expect.stringContaining("No target was named.") });
    expect(await run("--target", "none.json", "--out", "p.json", "a.png")).toMatchObject({ status: 66, err: expect.stringContaining("no such file") });
    await writeFile(join(folder, "bad.json"), JSON.stringify({ format: "kerfmark.target/1", id: "x", kind: "dots" }));
    expect(await run("--target", "bad.json", "--out", "p.json", "a.png")).toMatchObject({ status: 65, err: expect.stringContaining("pitch") });
    await writeFile(join(folder, "kind.json"), JSON.stringify({ format: "kerfmark.target/1", id: "x", kind: "rings" }));
    expect(await run("--target", "kind.json", "--out", "p.json", "a.png")).toMatchObject({ status: 65, err: expect.stringContaining('kind: expected "dots" or "charuco"') });
  });
});
