import { execFile } from "node:child_process";
import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { readJob } from "../../../core/job/read.ts";

const main = new URL("../../../electron/cli/main.ts", import.meta.url).pathname;
const demo = new URL("../../../samples/TRAY-7.job.json", import.meta.url).pathname;
let folder = "";
const run = (...args: string[]) => new Promise<{ status: number; out: string; err: string }>((resolve) => {
  execFile(process.execPath, [main, "design", ...args], { cwd: folder }, (error, out, err) => resolve({ status: typeof error?.code === "number" ? error.code : error ? -1 : 0, out, err }));
});
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "kerfmark-design-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

describe("kerfmark design", () => {
  it("predicts, proposes and writes a job", async () => {
    const said = await run("--job", demo, "--phone", "700", "--marks", "6", "--witnesses", "2", "--out", "better.job.json", "--json");
    expect(said).toMatchObject({ status: 0, err: "" });
    const result = JSON.parse(said.out) as { format: string; prediction: { worst: { U: number } }; before: number; contributions: unknown[] };
    expect(result.format).toBe("kerfmark.design/1");
    expect(result.prediction.worst.U).toBeLessThan(0.1);
    expect(result.contributions).toHaveLength(8);
    const better = readJob(await readFile(join(folder, "better.job.json"), "utf8"));
    expect(better.ok && better.job.marks).toHaveLength(8);
  });

  it("says what it needs", async () => {
    expect(await run("--job", demo)).toMatchObject({ status: 64, err: expect.stringContaining("--phone") });
    expect(await run("--job", demo, "--phone", "100")).toMatchObject({ status: 65, err: expect.stringContaining("at least") });
    expect(await run("--job", "none.json", "--scanner", "300")).toMatchObject({ status: 66 });
  });
});
