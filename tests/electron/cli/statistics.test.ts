import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import type { Trend } from "../../../core/trend/trend.ts";
import { openLibrary } from "../../../electron/host/library/library.ts";
import nist from "../../reference/nist_handbook_spc.json" with { type: "json" };
import { freshFolder, measured, picture, second, trayJob } from "../library/records.ts";

const MAIN = fileURLToPath(new URL("../../../electron/cli/main.ts", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "kerfmark-statistics-"));

function kerfmark(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [MAIN, ...args], { encoding: "utf8" });
  return { status, stdout, stderr };
}

let files = 0;
function table(text: string): string {
  const file = join(folder, `table-${files++}.csv`);
  writeFileSync(file, text);
  return file;
}

const trendOf = (csv: string, ...more: string[]): Trend => {
  const { status, stdout, stderr } = kerfmark("trend", "--csv", table(csv), "--json", ...more);
  expect(stderr).toBe("");
  expect(status).toBe(0);
  return JSON.parse(stdout) as Trend;
};

describe("kerfmark trend", () => {
  it("gives the handbook's individuals and CUSUM from a table (second-hand, recomputed)", () => {
    const flow = trendOf(`x\n${nist.individuals_6_3_2_2.x.join("\n")}\n`, "--column", "x");
    expect(flow.individuals?.ucl.toFixed(4)).toBe(nist.individuals_6_3_2_2.printed.UCL);
    const { x, target, k, h, printed } = nist.cusum_6_3_2_3;
    const sums = trendOf(`x\n${x.join("\n")}`, "--column", "x", "--target", String(target), "--cusum", `${k},${h}`);
    expect(sums.signals.filter((s) => s.chart === "cusum").map((s) => s.at)).toEqual(printed.signals);
  });

  it("counts rows with empty cells and NaN, in a table of one column too", () => {
    const t = trendOf("x\n1\n\n3\nNaN\n2\n2.5\n\n", "--column", "x", "--baseline", "1..6");
    expect(t).toMatchObject({ n: 6, missing: 2, baseline: { from: 1, to: 6 }, centre: 2.125 });
    expect(t.ewma?.values[1]).toBeNull();
    expect(t.movingRange?.centre).toBe(0.5); // only rows 5 and 6 are neighbours
  });

  it("takes the order column as abscissa and as order", () => {
    const rows = [9, 1, 5, 3, 7].map((s) => `${s},${(0.01 * s).toFixed(3)}`);
    const t = trendOf(`sheet,x\n${rows.join("\n")}`, "--column", "x", "--order", "sheet", "--upper", "0.2");
    expect(t.drift).toMatchObject({ per100: expect.closeTo(1, 9) as number, robustPer100: expect.closeTo(1, 9) as number });
    expect(t.notes.join(" ")).toContain('order of "sheet"');
  });

  it.each([
    [["--column", "y"], "x\n1", 65, /no column "y"/],
    [["--column", "x"], "x\n1\n2,5", 65, /Row 2 has 2 cells/],
    [["--column", "x"], "x,y\n1,2\nabc,3", 65, /Row 2, column "x": "abc" is not a number/],
    [["--column", "x"], "x\n", 65, /no rows/],
    [["--column", "x", "--baseline", "1..50"], "x\n1\n2", 65, /ends at row 50/],
    [["--column", "x", "--baseline", "5..2"], "x\n1\n2", 64, /not a baseline/],
    [["--column", "x", "--lower", "1", "--upper", "1"], "x\n1\n2", 64, /not below/],
    [["--column", "x", "--ewma", "0"], "x\n1\n2", 64, /EWMA/],
    [["--column", "x", "--cusum", "1"], "x\n1\n2", 64, /CUSUM/],
    [[], "x\n1\n2", 64, /No column/],
  ])("%j on %j: exit status %d", (options, csv, status, message) => {
    const result = kerfmark("trend", "--csv", table(csv), ...options);
    expect(result).toMatchObject({ status, stdout: "", stderr: expect.stringMatching(message) as string });
  });

  it("tells a missing file by 66", () => {
    expect(kerfmark("trend", "--csv", join(folder, "none.csv"), "--column", "x").status).toBe(66);
    expect(kerfmark("setaside", "--csv", join(folder, "none.csv"), "--sheets", "4").status).toBe(66);
  });
});

describe("kerfmark setaside", () => {
  it("gives the contract's example, and tells people the same", () => {
    const csv = table("sheet,verdict\n8,in\n17,out\n24,in\n");
    const { status, stdout } = kerfmark("setaside", "--csv", csv, "--sheets", "40", "--json");
    expect([status, JSON.parse(stdout)]).toEqual([0, {
      format: "kerfmark.setaside/1", bad: [17],
      suspect: [{ from: 9, to: 16, fromTop: [25, 32] }, { from: 18, to: 23, fromTop: [18, 23] }],
      clear: [{ from: 1, to: 8 }, { from: 24, to: 40 }], next: 12,
    }]);
    expect(kerfmark("setaside", "--csv", csv, "--sheets", "40").stdout).toContain("Check sheet 12 next (29 from the top).");
    expect(kerfmark("setaside", "--csv", csv, "--sheets", "20").status).toBe(65);
    expect(kerfmark("setaside", "--csv", csv).status).toBe(64);
  });
});

describe("runs in the library", () => {
  it("are followed and set aside by their number", async () => {
    const home = freshFolder();
    const library = await openLibrary(home);
    const { id: jobVersionId } = await library.jobs.put(trayJob());
    await library.runs.start({ jobVersionId, sheets: 40 });
    for (let i = 1; i <= 12; i++) {
      const worst = i < 9 ? 0.1 + 0.01 * (i % 3) : 0.7;
      await library.checks.add({ runId: 1, jobVersionId, picture: picture(`p${i}`), takenAt: second(i), outcome: { record: measured(String(3 * i), worst) } });
    }
    await library.close();
    const t = JSON.parse(kerfmark("trend", "1", "--library", home, "--json").stdout) as Trend;
    expect(t).toMatchObject({ column: "position", n: 12, process: { u: 0.015 }, capability: { ppk: expect.any(Number) as number } });
    const aside = JSON.parse(kerfmark("setaside", "1", "--library", home, "--json").stdout) as { bad: number[]; next: number };
    expect(aside.bad).toEqual([27, 30, 33, 36]);
    expect(kerfmark("trend", "7", "--library", home).status).toBe(66);
    expect(kerfmark("trend", "1", "--column", "humidity", "--library", home).status).toBe(64);
  });
});

describe("kerfmark gauge", () => {
  it("writes a plan, says which picture comes next, and measures the pictures into a study", () => {
    const plan = join(folder, "study.csv");
    expect(kerfmark("gauge", "--plan", plan, "--sheets", "1,41", "--operators", "Ada,Ben").stdout).toContain("8 pictures to take");
    expect(kerfmark("gauge", "--plan", plan, "--sheets", "1,41", "--operators", "Ada,Ben")).toMatchObject({ status: 73, stderr: expect.stringContaining("is there already") });
    expect(kerfmark("gauge", "--plan", join(folder, "b.csv"), "--sheets", "1", "--operators", "Ada,Ben")).toMatchObject({ status: 64, stderr: expect.stringContaining("--sheets") });
    const job = new URL("../../../samples/TRAY-7.job.json", import.meta.url).pathname;
    const rows = readFileSync(plan, "utf8").trim().split("\n");
    expect(rows).toHaveLength(9);
    const [, first] = rows;
    expect(kerfmark("gauge", "--csv", plan, "--job", job).stdout).toBe(`0 of 8 pictures are there. Next: ${first.split(",")[1]} pictures sheet ${first.split(",")[0]}.\n`);
    const sample = (sheet: string) => new URL(`../../../samples/sheet-0${sheet.padStart(2, "0")}.jpg`, import.meta.url).pathname;
    const truth = { 1: 0, 41: 0.1 } as Record<string, number>;
    const filled = rows.map((row, i) => (i === 0 ? row : row.replace(/,,$/, `,${sample(row.split(",")[0])},${truth[row.split(",")[0]]}`)));
    writeFileSync(plan, `${filled.join("\n")}\n`);
    const done = kerfmark("gauge", "--csv", plan, "--job", job, "--value", "x", "--tolerance", "1", "--json");
    expect(done.status, done.stderr).toBe(0);
    // The same picture of a sheet each time: the sheets differ, the readings of one do not.
    const study = JSON.parse(done.stdout) as { study: { parts: number; components: { part: { contribution: number } } }; bias: { n: number } };
    expect(study.study.parts).toBe(2);
    expect(study.study.components.part.contribution).toBeGreaterThan(99.9);
    expect(study.bias.n).toBe(8);
    expect(kerfmark("gauge", "--csv", plan, "--job", job, "--value", "length").status).toBe(64);
  }, 120_000);

  it("gives figures for people and machines", () => {
    const csv = table(`part,operator,value\n${[1, 2, 3].flatMap((p) => ["A", "B"].flatMap((o) => [0, 0.1].map((e) => `${p},${o},${p + e}`))).join("\n")}`);
    expect(kerfmark("gauge", "--csv", csv, "--tolerance", "3").stdout).toContain("3 parts, 2 operators, 2 repeats");
    expect(JSON.parse(kerfmark("gauge", "--csv", csv, "--json").stdout)).toMatchObject({ format: "kerfmark.gauge/1", study: { parts: 3 } });
    expect(kerfmark("gauge", "--csv", table("part,operator,value\n1,A,2\n")).status).toBe(65);
  });
});
