import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { openLibrary } from "../../../electron/host/library/library.ts";
import { freshFolder, measured, picture, second, trayJob } from "../library/records.ts";

const MAIN = fileURLToPath(new URL("../../../electron/cli/main.ts", import.meta.url));

function kerfmark(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [MAIN, ...args], { encoding: "utf8" });
  return { status, stdout, stderr };
}

async function folderWithChecks(): Promise<string> {
  const folder = freshFolder();
  const library = await openLibrary(folder);
  const { id: jobVersionId } = await library.jobs.put(trayJob());
  await library.runs.start({ jobVersionId });
  for (let i = 1; i <= 3; i++) await library.checks.add({ runId: 1, jobVersionId, picture: picture(`p${i}`), takenAt: second(i), outcome: { record: measured(String(i), 0.1) } });
  await library.close();
  return folder;
}

test("verify, backup, export and restore from the command line", async () => {
  const folder = await folderWithChecks();
  const backup = join(folder, "copy.sqlite");
  expect(kerfmark("library", "backup", backup, "--library", folder)).toMatchObject({ status: 0, stdout: `Backed up to ${backup}\n` });
  const verified = kerfmark("library", "verify", "--library", folder, "--json");
  expect(verified.status).toBe(0);
  expect(JSON.parse(verified.stdout)).toMatchObject({ problems: [], counts: { checks: 3 } });
  const csv = kerfmark("library", "export", "--library", folder, "--format", "csv", "--run", "1");
  expect([csv.status, csv.stdout.trim().split("\r\n").length]).toEqual([0, 4]);
  const out = join(folder, "all.jsonl");
  expect(kerfmark("library", "export", "--library", folder, "--out", out).status).toBe(0);
  expect(readFileSync(out, "utf8").trim().split("\n").map((l) => JSON.parse(l) as { table: string }).filter((l) => l.table === "checks")).toHaveLength(3);
  writeFileSync(join(folder, "library.sqlite"), "this is no database");
  expect(kerfmark("library", "verify", "--library", folder)).toMatchObject({ status: 65, stderr: expect.stringContaining("restore") as string });
  expect(kerfmark("library", "restore", backup, "--library", folder).status).toBe(0);
  expect(kerfmark("library", "verify", "--library", folder)).toMatchObject({ status: 0, stdout: expect.stringContaining("3 checks") as string });
});

test("trend and setaside of a run of the library", async () => {
  const folder = await folderWithChecks();
  const trend = kerfmark("trend", "1", "--library", folder, "--column", "offsetX,offsetY", "--json");
  expect(trend.status).toBe(0);
  expect(JSON.parse(trend.stdout)).toMatchObject({ format: "kerfmark.trend/1", column: "offsetX", n: 3, missing: 0 });
  const aside = kerfmark("setaside", "1", "--library", folder, "--sheets", "5", "--json");
  expect(JSON.parse(aside.stdout)).toMatchObject({ bad: [], suspect: [], clear: [{ from: 1, to: 5 }], next: null });
  expect(kerfmark("setaside", "1", "--library", folder).stdout).toMatch(/highest sheet number[^]*Stack of 3/);
  expect(kerfmark("trend", "7", "--library", folder)).toMatchObject({ status: 66, stderr: expect.stringContaining("no run 7") as string });
  expect(kerfmark("trend", "1", "--library", folder, "--column", "warmth")).toMatchObject({ status: 64, stderr: expect.stringContaining("position") as string });
  expect(kerfmark("trend", "seven", "--library", folder)).toMatchObject({ status: 64 });
});

test("clear sentences and exit statuses for what is not there or does not fit", () => {
  const empty = freshFolder();
  expect(kerfmark("library", "verify", "--library", empty)).toMatchObject({ status: 66, stderr: expect.stringMatching(/^There is no library in this folder/) as string });
  expect(kerfmark("library", "backup", "--library", empty)).toMatchObject({ status: 66 });
  const out = join(empty, "x.jsonl");
  expect(kerfmark("library", "export", "--library", empty, "--out", out)).toMatchObject({ status: 66 });
  expect(existsSync(out)).toBe(false);
  expect(kerfmark("library", "export", "--library", empty, "--run", "1")).toMatchObject({ status: 64 });
  expect(kerfmark("library", "restore", join(empty, "nothing.sqlite"), "--library", empty)).toMatchObject({ status: 66 });
  expect(kerfmark("watch", join(empty, "nowhere"))).toMatchObject({ status: 66 });
  expect(kerfmark("watch", empty, "--library", join(empty, "l"))).toMatchObject({ status: 64, stderr: expect.stringContaining("--job") as string });
  expect(kerfmark("watch", empty, "--settle", "-1")).toMatchObject({ status: 64 });
  expect(kerfmark("watch", "--help").stdout).toMatch(/tray/);
});

test("watch --once measures for real: a file that is no picture lies in the tray, the exit status says so", () => {
  const folder = freshFolder();
  const inbox = join(folder, "inbox");
  mkdirSync(inbox);
  writeFileSync(join(inbox, "broken.jpg"), "this is no picture");
  const job = join(folder, "tray.job.json");
  writeFileSync(job, JSON.stringify(trayJob()));
  const run = kerfmark("watch", inbox, "--job", job, "--library", join(folder, "library"), "--once", "--settle", "0.1", "--workers", "1", "--json");
  expect(JSON.parse(run.stdout)).toMatchObject({ kind: "tray", reason: { code: "image-unreadable" } });
  expect(run.status).toBe(2);
});
