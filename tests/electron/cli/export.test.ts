import { execFile } from "node:child_process";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";

const main = new URL("../../../electron/cli/main.ts", import.meta.url).pathname;
let folder = "";
const run = (...args: string[]) => new Promise<{ status: number; out: string; err: string }>((resolve) => {
  execFile(process.execPath, [main, ...args], { cwd: folder }, (error, out, err) => resolve({ status: typeof error?.code === "number" ? error.code : error ? -1 : 0, out, err }));
});
const job = {
  format: "kerfmark.job/1", id: "TRAY-7", name: "Shelf tray", sheet: { width: 300, height: 200 }, cutFrom: "print",
  marks: [[10, 10], [290, 10], [290, 190], [30, 190]].map(([x, y], i) => ({ id: `M${i + 1}`, shape: "dot", x, y, diameter: 6 })),
  codes: [{ symbology: "qr", x: 60, y: 20, size: 18, payload: "job={job};sheet={sheet}" }],
  cuts: [{ id: "blank", kind: "cut", path: "M 100 50 H 250 V 150 H 100 Z" }], state: "in-sheet", tolerance: { position: 0.5 },
};
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "kerfmark-export-"));
  await writeFile(join(folder, "tray.job.json"), JSON.stringify(job));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

describe("kerfmark export", () => {
  it("writes an overlay that kerfmark import reads back", async () => {
    expect(await run("export", "--job", "tray.job.json", "--out", "tray.dxf", "--sheet", "17")).toMatchObject({ status: 0, err: "" });
    expect(await run("import", "tray.dxf", "--out", "back.job.json", "--id", "TRAY-7", "--sheet", "300x200")).toMatchObject({ status: 0 });
    const back = JSON.parse(await readFile(join(folder, "back.job.json"), "utf8")) as typeof job;
    expect(back.marks.map((m) => [m.shape, m.x, m.y, m.diameter])).toEqual(job.marks.map((m) => [m.shape, m.x, m.y, m.diameter]));
    expect(back.cuts).toHaveLength(1);
  });

  it("makes numbered pages, and says what it was not given", async () => {
    expect(await run("export", "--job", "tray.job.json", "--out", "codes.pdf", "--sheets", "1..12")).toMatchObject({ status: 0, out: expect.stringContaining("12 numbered pages") });
    expect((await readFile(join(folder, "codes.pdf"), "latin1")).slice(0, 5)).toBe("%PDF-");
    expect(await run("export", "--job", "tray.job.json", "--out", "tray.eps")).toMatchObject({ status: 64, err: expect.stringContaining(".svg") });
    expect(await run("export", "--job", "tray.job.json", "--out", "codes.svg", "--sheets", "1..3")).toMatchObject({ status: 64 });
    expect(await run("export", "--job", "tray.job.json", "--out", "x.svg", "--parts", "creases")).toMatchObject({ status: 65 });
    expect(await run("export", "--job", "none.json", "--out", "x.svg")).toMatchObject({ status: 66 });
  });
});
