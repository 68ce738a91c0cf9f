import { execFile } from "node:child_process";
import { mkdir, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Measured } from "../../../core/check/record.ts";
import { openLibrary } from "../../../electron/host/library/library.ts";
import { drawSheet, JOB } from "../host/measure/sheet.ts";
import { recordOf } from "../host/report/records.ts";

const SCRIPT = new URL("../../../electron/cli/kerfmark.ts", import.meta.url).pathname;
let folder: string;
let check: number;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "report-"));
  await writeFile(join(folder, "tray.job.json"), JSON.stringify(JOB));
  await writeFile(join(folder, "run.jsonl"), [1, 2].map((n) => JSON.stringify(recordOf(n))).join("\n"));
  await drawSheet({ pxPerMm: 3 }).jpeg().toFile(join(folder, "sheet.jpg"));
  const library = await openLibrary(join(folder, "library"));
  const version = await library.jobs.put(JOB);
  const run = await library.runs.start({ jobVersionId: version.id, name: "Morning", sheets: 20 });
  const overlay = { homography: [3, 0, 0, 0, -3, 629, 0, 0, 1], lens: null, stretches: [{ feature: "blank", x: 60, y: 100, nx: -1, ny: 0, value: 0.2, U: 0.03 }] };
  const added = await library.checks.add({
    runId: run.id, jobVersionId: version.id, picture: await library.pictures.keep(join(folder, "sheet.jpg")), outcome: { record: recordOf(7, "out"), overlay }, takenAt: "2026-03-04T05:06:07",
  });
  check = added.id;
  await library.close();
});

afterAll(() => rm(folder, { recursive: true }));

function report(...args: string[]): Promise<{ status: number; out: string; err: string }> {
  return new Promise((resolve) => {
    execFile(process.execPath, [SCRIPT, "report", "--library", "library", ...args], { cwd: folder }, (error, out, err) => resolve({ status: error ? Number(error.code) : 0, out, err }));
  });
}

describe("kerfmark report", () => {
  it("writes a run of the library as data, with what is to be set aside", async () => {
    expect(await report("--run", "1", "--out", "run.json")).toMatchObject({ status: 0, out: "run.json\n", err: "" });
    const data = JSON.parse(await readFile(join(folder, "run.json"), "utf8")) as { records: Measured[]; setaside: { bad: number[] }; jobVersion: number };
    expect([data.records.map((r) => r.worst.value), data.setaside.bad, data.jobVersion]).toEqual([[recordOf(7).worst.value], [7], 1]);
  });

  it("writes a check with its picture in it", async () => {
    expect((await report("--check", String(check), "--out", "sheet.html", "--language", "de", "--shop", "Saatgut")).status).toBe(0);
    const html = await readFile(join(folder, "sheet.html"), "utf8");
    expect(html).toMatch(/src="data:image\/jpeg;base64,/);
    expect(html).toContain("SCHLECHT");
  });

  it("divides a CSV and writes its decimals as asked; commas never do both", async () => {
    const row = async (...args: string[]) => {
      expect((await report("--records", "run.jsonl", "--job", "tray.job.json", "--out", "run.csv", ...args)).status).toBe(0);
      return (await readFile(join(folder, "run.csv"), "utf8")).split("\r\n")[1];
    };
    const { worst } = recordOf(1);
    expect(await row("--csv-separator", "semicolon", "--decimal", "comma")).toContain(`;${String(worst.value).replace(".", ",")};`);
    expect(await row("--csv-separator", "tab")).toContain(`\t${worst.value}\t`);
    expect(await row("--decimal", "comma")).toContain(`,${worst.value},`);
  });

  it("follows the shop's settings, and options before them", async () => {
    await mkdir(join(folder, "library", "desk"), { recursive: true });
    await writeFile(join(folder, "library", "desk", "settings.json"), JSON.stringify({ language: "de", units: "inch", shopName: "Saatgut & Söhne" }));
    const html = async (...args: string[]) => {
      expect((await report("--check", String(check), "--out", "set.html", ...args)).status).toBe(0);
      return readFile(join(folder, "set.html"), "utf8");
    };
    const inches = (recordOf(7).worst.value / 25.4).toFixed(4);
    expect(await html()).toMatch(new RegExp(`Saatgut &#38; Söhne[^]*SCHLECHT[^]*\\+${inches.replace(".", ",")} ± \\S+ in`));
    expect(await html("--language", "en", "--units", "mm", "--decimal", "point", "--shop", "Seed")).toContain(recordOf(7).worst.value.toFixed(3));
    await rm(join(folder, "library", "desk"), { recursive: true });
  });

  it("writes a PDF from records", async () => {
    expect((await report("--records", "run.jsonl", "--job", "tray.job.json", "--out", "run.pdf")).status).toBe(0);
    expect((await readFile(join(folder, "run.pdf"))).subarray(0, 5).toString()).toBe("%PDF-");
  });

  it.each([
    [["--run", "1"], 64, "No file to write"],
    [["--run", "1", "--out", "run.doc"], 64, "ending"],
    [["--out", "run.pdf"], 64, "not clear"],
    [["--run", "first", "--out", "run.pdf"], 64, "--run"],
    [["--run", "99", "--out", "run.pdf"], 66, "99"],
    [["--records", "tray.job.json", "--job", "tray.job.json", "--out", "run.pdf"], 65, "check record"],
    [["--run", "1", "--out", "nowhere/run.csv"], 73, "cannot be written"],
  ] as const)("%j ends with %i and says why", async (args, wanted, words) => {
    const { status, out, err } = await report(...args);
    expect([status, out]).toEqual([wanted, ""]);
    expect(err).toContain(words);
  });
});
