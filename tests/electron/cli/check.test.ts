import { execFile } from "node:child_process";
import { mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { placeOf } from "../../../electron/cli/check/words.ts";
import { statusOfChecks } from "../../../electron/cli/exit.ts";
import { drawSheet, JOB } from "../host/measure/sheet.ts";

const SCRIPT = new URL("../../../electron/cli/kerfmark.ts", import.meta.url).pathname;
let folder: string;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "check-"));
  await writeFile(join(folder, "tray.job.json"), JSON.stringify(JOB));
  await writeFile(join(folder, "bad.job.json"), JSON.stringify({ ...JOB, tolerance: {}, surplus: 1 }));
  await mkdir(join(folder, "scans"));
  await mkdir(join(folder, "empty"));
  for (const [n, right] of [[2, 0.1], [10, 0.9]] as const) await drawSheet({ right }).jpeg({ quality: 92 }).toFile(join(folder, "scans", `sheet-${n}.jpg`));
  await writeFile(join(folder, "broken.jpg"), "no picture");
});

afterAll(() => rm(folder, { recursive: true }));

function kerfmark(...args: string[]): Promise<{ status: number; out: string; err: string }> {
  return new Promise((resolve) => {
    execFile(process.execPath, [SCRIPT, ...args], { cwd: folder }, (error, out, err) => resolve({ status: error ? Number(error.code) : 0, out, err }));
  });
}

describe("kerfmark check", () => {
  it("measures a folder in the order of its numbers, one JSON object a line and nothing else", async () => {
    const { status, out, err } = await kerfmark("check", "--job", "tray.job.json", "--json", "scans", "broken.jpg");
    const records = out.trimEnd().split("\n").map((line) => JSON.parse(line) as { image: string; verdict: string | null; offset?: { x: number } });
    expect(records.map((r) => [r.image, r.verdict])).toEqual([["sheet-2.jpg", "in"], ["sheet-10.jpg", "out"], ["broken.jpg", null]]);
    expect(records[1].offset?.x).toBeCloseTo(0.9, 1);
    expect(status).toBe(2);
    expect(err.split("\n").filter((line) => line !== "" && !line.startsWith("Note on the job:"))).toEqual([]);
  });

  it("tells people the verdict, the worst place and the correction", async () => {
    const { status, out } = await kerfmark("check", "--job", "tray.job.json", "scans/*-2.jpg");
    expect(out).toContain("[+] IN  sheet-2.jpg");
    // Moved to the right by 0.1 mm, the right side lies off by +0.1 and the left by -0.1: either may be the worst.
    expect(out).toMatch(/worst +[+-]0\.1\d{2} \u00b1 0\.\d{3} mm \(allowed 0\.5\) near the .+ of the sheet, on "blank"/);
    expect(out).toMatch(/correct by +x -0\.\d{3} mm/);
    expect(status).toBe(0);
    expect((await kerfmark("check", "--job", "tray.job.json", "scans/sheet-10.jpg")).status).toBe(1);
  });

  it.each([
    [["check", "scans"], 64, "No job was named."],
    [["check", "--job", "tray.job.json"], 64, "No picture was named."],
    [["check", "--job", "tray.job.json", "--workers", "none", "scans"], 64, "--workers"],
    [["check", "--unknown"], 64, "Unknown option '--unknown'."],
    [["chekc"], 64, "chekc"],
    [[], 64, "No verb was given."],
    [["check", "--job", "bad.job.json", "scans"], 65, "surplus"],
    [["check", "--job", "broken.jpg", "scans"], 65, "JSON"],
    [["check", "--job", "tray.job.json", "--camera", "tray.job.json", "scans"], 65, "kerfmark.camera/1"],
    [["check", "--job", "none.json", "scans"], 66, "There is no job file none.json."],
    [["check", "--job", "tray.job.json", "none.jpg"], 66, "There is no picture none.jpg."],
    [["check", "--job", "tray.job.json", "empty"], 66, "no pictures in the folder"],
  ] as const)("%j ends with %i and says why, on standard error only", async (args, wanted, words) => {
    const { status, out, err } = await kerfmark(...args);
    expect([status, out]).toEqual([wanted, ""]);
    expect(err).toContain(words);
    expect(err.trimEnd().split("\n").length).toBeGreaterThanOrEqual(2);
  });

  it("has help", async () => {
    const { status, out } = await kerfmark("check", "--help");
    expect([status, out.includes("Usage: kerfmark check"), out.includes("Exit status")]).toEqual([0, true, true]);
  });
});

describe("exit status of checks", () => {
  it("is the worst of them", () => {
    const [fine, out, unsure] = (["in", "out", "unsure"] as const).map((verdict) => ({ status: "measured", verdict }) as const);
    const refused = { status: "refused", verdict: null } as const;
    expect([[fine], [fine, out], [unsure], [out, refused, fine]].map(statusOfChecks)).toEqual([0, 1, 1, 2]);
  });
});

describe("places in words", () => {
  const job = { sheet: { width: 1000, height: 700 } };
  it.each([
    [10, 10, "near the lower left corner of the sheet"],
    [990, 690, "near the upper right corner of the sheet"],
    [500, 690, "near the upper edge of the sheet"],
    [10, 350, "near the left edge of the sheet"],
    [500, 350, "near the middle of the sheet"],
  ])("%d, %d: %s", (x, y, words) => expect(placeOf(x, y, job)).toBe(words));
});
