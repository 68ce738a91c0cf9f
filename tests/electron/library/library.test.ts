import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { sql } from "kysely";
import Papa from "papaparse";
import { expect, test } from "vitest";
import { exportCsv, exportJsonLines } from "../../../electron/host/library/export.ts";
import { openLibrary, type Library } from "../../../electron/host/library/library.ts";
import { migrate } from "../../../electron/host/library/migrate.ts";
import { MIGRATIONS } from "../../../electron/host/library/migrations/index.ts";
import { restoreLibrary } from "../../../electron/host/library/restore.ts";
import { verifyLibrary } from "../../../electron/host/library/verify.ts";
import { freshFolder, measured, overlay, picture, refused, second, trayJob } from "./records.ts";

async function withRun(sheets: readonly (string | undefined)[] = []): Promise<{ library: Library; runId: number; jobVersionId: number }> {
  const library = await openLibrary(freshFolder());
  const { id: jobVersionId } = await library.jobs.put(trayJob());
  const { id: runId } = await library.runs.start({ jobVersionId, sheets: 40 });
  for (const [i, sheet] of sheets.entries()) await add(library, runId, jobVersionId, sheet, i);
  return { library, runId, jobVersionId };
}

function add(library: Library, runId: number, jobVersionId: number, sheet: string | undefined, i: number, worst = 0.1) {
  return library.checks.add({ runId, jobVersionId, picture: picture(`p${i}`), takenAt: second(i), outcome: { record: measured(sheet, worst), overlay } });
}

test("a job's versions: the same content is the same version, a change makes a new one, lengths are measured", async () => {
  const { library } = await withRun();
  const again = await library.jobs.put({ ...trayJob() });
  const changed = await library.jobs.put(trayJob({ tolerance: { position: 0.3 } }));
  expect([again.version, changed.version]).toEqual([1, 2]);
  expect(again.cutLength).toBeCloseTo(1000, 9);
  expect(again.creaseLength).toBeCloseTo(300, 9);
  expect(await library.jobs.list()).toMatchObject([{ job: "TRAY-7", versions: 2, latestVersionId: changed.id, runs: 1 }]);
  await library.close();
});

test("checks come in order of sheet number, then of capture time, whatever order they arrived in", async () => {
  const { library, runId } = await withRun(["12", undefined, "3", "101", undefined, "20b"]);
  expect((await library.checks.page(runId)).map((c) => c.sheet ?? c.takenAt.slice(17, 19))).toEqual(["3", "12", "101", "01", "04", "20b"]);
  expect((await library.checks.page(runId, { offset: 1, limit: 2 })).map((c) => c.sheet)).toEqual(["12", "101"]);
  await library.close();
});

test("the record and the overlay come back as they went in", async () => {
  const { library, runId, jobVersionId } = await withRun();
  const { id } = await add(library, runId, jobVersionId, "5", 0, -0.31);
  const { record, overlay: drawn } = await library.checks.outcome(id);
  expect(record).toEqual(measured("5", -0.31));
  expect(drawn).toEqual(overlay);
  expect(await library.checks.series(runId, { values: ["position", "crease", "offsetX"] })).toMatchObject({
    sheetNumber: [5], verdict: ["in"], values: { position: [-0.31], crease: [0.062], offsetX: [-0.155] }, U: { position: [0.03], crease: [0.04], offsetX: [0.02] },
  });
  await library.close();
});

test("a crease that was not found has no value in the run's series, whatever its figures make of its place", async () => {
  const { library, runId, jobVersionId } = await withRun();
  const record = measured("5", -0.31, { features: [{ id: "fold", kind: "crease", mean: 0.1, max: 0.1, rms: 0.1, U: 3.5, coverage: 0 }] });
  await library.checks.add({ runId, jobVersionId, picture: picture("p5"), takenAt: second(5), outcome: { record, overlay } });
  expect((await library.checks.series(runId, { values: ["position", "crease"] })).values).toEqual({ position: [-0.31], crease: [null] });
  await library.close();
});

test("the same picture counts once in a run", async () => {
  const { library, runId, jobVersionId } = await withRun(["1"]);
  expect(await add(library, runId, jobVersionId, "1", 0)).toMatchObject({ added: false, id: 1 });
  expect(await library.checks.count(runId)).toBe(1);
  expect(await library.pictures.isTaken(picture("p0").sha256)).toBe(true);
  expect(await library.pictures.isTaken(picture("p1").sha256)).toBe(false);
  await library.close();
});

test("a re-cut sheet's second check is kept apart from what the process did first, and its history stays", async () => {
  const { library, runId, jobVersionId } = await withRun(["1", "2"]);
  await add(library, runId, jobVersionId, "3", 10, 0.8);
  await library.dispositions.decide({ runId, sheets: ["3"], decision: "re-cut", who: "Ada", why: "0.8 mm off" });
  await add(library, runId, jobVersionId, "3", 11, 0.2);
  const first = await library.checks.series(runId, { values: ["position"] });
  const latest = await library.checks.series(runId, { values: ["position"], which: "latest" });
  expect([first.values.position, latest.values.position]).toEqual([[0.1, 0.1, 0.8], [0.1, 0.1, 0.2]]);
  expect((await library.checks.ofSheet(runId, "3")).map((c) => [c.recut, c.verdict])).toEqual([[0, "out"], [1, "in"]]);
  await library.close();
});

test("measuring a picture again keeps the former record", async () => {
  const { library, runId, jobVersionId } = await withRun(["1"]);
  await library.checks.measureAgain(1, { record: measured("1", 0.7) }, jobVersionId);
  expect((await library.checks.revisions(1)).map((r) => r.record.worst.value)).toEqual([0.7, 0.1]);
  expect((await library.runs.list())[0]).toMatchObject({ id: runId, checks: 1, verdicts: { in: 0, out: 1, unsure: 0 } });
  await library.close();
});

test("every deletion can be undone", async () => {
  const { library, runId } = await withRun(["1", "2"]);
  const ofCheck = await library.checks.delete(1);
  expect(await library.checks.count(runId)).toBe(1);
  await library.deletions.undo(ofCheck.id);
  expect(await library.checks.count(runId)).toBe(2);
  await expect(library.deletions.undo(ofCheck.id)).rejects.toMatchObject({ code: "not-found" });
  const ofRun = await library.runs.delete(runId);
  expect(await library.runs.list()).toEqual([]);
  expect(await library.pictures.isTaken(picture("p0").sha256)).toBe(false);
  expect(await library.deletions.list()).toMatchObject([{ subject: "run", subjectId: runId }]);
  await library.deletions.undo(ofRun.id);
  expect(await library.runs.list()).toMatchObject([{ checks: 2 }]);
  await library.close();
});

test("undoing a deletion is refused where the same picture was taken in again meanwhile", async () => {
  const { library, runId, jobVersionId } = await withRun(["1"]);
  const deletion = await library.checks.delete(1);
  await add(library, runId, jobVersionId, "1", 0);
  await expect(library.deletions.undo(deletion.id)).rejects.toMatchObject({ code: "conflict", message: expect.stringContaining("entered again") as string });
  expect(await library.checks.count(runId)).toBe(1);
  await library.close();
});

test("decisions for a range are one action, later ones win, and the action can be taken back", async () => {
  const { library, runId } = await withRun();
  await library.dispositions.decide({ runId, sheets: { from: 9, to: 12 }, decision: "aside", who: "Ada", why: "suspect" });
  const [scrap] = await library.dispositions.decide({ runId, sheets: ["10"], decision: "scrap", who: "Bo", why: "white edge" });
  expect([...(await library.dispositions.current(runId)).values()].map((d) => d.decision)).toEqual(["aside", "scrap", "aside", "aside"]);
  await library.dispositions.takeBack(scrap.batch);
  expect((await library.dispositions.current(runId)).get("10")?.decision).toBe("aside");
  await library.dispositions.putBack(scrap.batch);
  expect((await library.dispositions.history(runId, "10")).map((d) => [d.decision, d.who])).toEqual([["aside", "Ada"], ["scrap", "Bo"]]);
  await expect(library.dispositions.decide({ runId, sheets: ["1"], decision: "accept", who: "", why: "x" })).rejects.toMatchObject({ code: "invalid" });
  await expect(library.dispositions.decide({ runId, sheets: { from: 5, to: 4 }, decision: "accept", who: "Ada", why: "x" })).rejects.toMatchObject({ code: "invalid" });
  await library.close();
});

test("metres cut: the job's length times the sheets, parted where a tool of the same kind was changed", async () => {
  const { library, jobVersionId } = await withRun();
  const old = await library.tools.put({ code: "B-1", metresBefore: 100 });
  const fresh = await library.tools.put({ code: "B-2" });
  const wheel = await library.tools.put({ code: "W-1", kind: "crease" });
  const run = await library.runs.start({ jobVersionId, sheets: 40, toolId: old.id });
  await library.events.add({ runId: run.id, kind: "tool-changed", detail: {}, sheetNumber: 1, toolId: wheel.id });
  await library.events.add({ runId: run.id, kind: "tool-changed", detail: {}, sheetNumber: 31, toolId: fresh.id, who: "Ada" });
  expect(await library.tools.usesIn(run.id)).toEqual([
    { runId: run.id, toolId: old.id, from: 1, to: 30, metres: 30 }, { runId: run.id, toolId: wheel.id, from: 1, to: 40, metres: 12 },
    { runId: run.id, toolId: fresh.id, from: 31, to: 40, metres: 10 },
  ]);
  expect([await library.tools.metres(old.id), await library.tools.metres(fresh.id), await library.tools.metres(wheel.id)]).toEqual([130, 10, 12]);

  // A tool that is gone is not offered any more; what it cut stays, and it can come back.
  const { id } = await library.tools.delete(wheel.id);
  expect((await library.tools.list()).map((t) => t.code)).toEqual(["B-1", "B-2"]);
  expect([await library.tools.metres(wheel.id), (await library.tools.usesIn(run.id)).length]).toEqual([12, 3]);
  await library.deletions.undo(id);
  expect((await library.tools.list()).map((t) => t.code)).toEqual(["B-1", "B-2", "W-1"]);
  await library.close();
});

test("events keep what their kind asks for and come in order", async () => {
  const { library, runId } = await withRun();
  await library.events.add({ runId, kind: "correction", detail: { x: 0.2, y: -0.1 }, sheetNumber: 61, who: "Ada" });
  await library.events.add({ runId, kind: "humidity", detail: { percent: 48 }, sheetNumber: 1 });
  expect((await library.events.ofRun(runId)).map((e) => [e.kind, e.detail])).toEqual([["humidity", { percent: 48 }], ["correction", { x: 0.2, y: -0.1 }]]);
  await library.close();
});

test("the tray keeps what cannot be measured with its reason until it is settled", async () => {
  const { library, runId, jobVersionId } = await withRun();
  const entry = { picture: picture("p0"), image: "dark.jpg", reason: refused.refusal, record: refused, takenAt: second(0) };
  expect(await library.tray.add(entry)).toEqual({ added: true, id: 1 });
  expect(await library.tray.add(entry)).toEqual({ added: false, id: 1 });
  expect(await library.tray.list()).toMatchObject([{ image: "dark.jpg", reason: refused.refusal, record: refused }]);
  await add(library, runId, jobVersionId, "1", 0);
  expect(await library.tray.count()).toBe(0);
  await library.tray.add({ ...entry, picture: picture("p1") });
  await library.tray.dismiss(2);
  expect([await library.tray.count(), await library.pictures.isTaken(picture("p1").sha256)]).toEqual([0, true]);
  await library.tray.takeBack(2);
  expect(await library.tray.count()).toBe(1);
  await library.close();
});

test("pictures are copied where the shop has chosen so", async () => {
  const { library } = await withRun();
  const path = join(library.folder, "Sheet 1.JPG");
  writeFileSync(path, "a picture");
  expect(await library.pictures.keep(path)).toMatchObject({ path, copied: false, bytes: 9 });
  await library.settings.set("pictures", "copy");
  const copy = await library.pictures.keep(path);
  expect(copy).toMatchObject({ copied: true });
  expect(readFileSync(copy.path, "utf8")).toBe("a picture");
  expect(copy.path).toContain(copy.sha256);
  await library.close();
});

test("presets and profiles are there by name, and settings have defaults", async () => {
  const { library } = await withRun();
  await library.presets.save("seed trays", { layer: "CUT" });
  await library.presets.save("seed trays", { layer: "CUT2" });
  const [preset] = await library.presets.list();
  expect(preset).toMatchObject({ name: "seed trays", content: { layer: "CUT2" } });
  const deletion = await library.presets.delete(preset.id);
  expect(await library.presets.byName("seed trays")).toBeNull();
  await library.deletions.undo(deletion.id);
  expect(await library.presets.byName("seed trays")).not.toBeNull();
  expect(await library.settings.get("pictures")).toBe("in-place");
  await library.close();
});

test("a migration is preceded by a backup, is all or nothing, and a newer library is refused", async () => {
  const { library } = await withRun(["1"]);
  const more = { ...MIGRATIONS, "999-half": { up: async (db: typeof library.opened.db) => { await sql`create table extra (id integer)`.execute(db); throw new Error("stopped"); } } };
  await expect(migrate(library.opened, library.folder, more)).rejects.toThrow("stopped");
  expect(library.opened.raw.prepare("select count(*) from sqlite_master where name = 'extra'").pluck().get()).toBe(0);
  expect(readdirSync(join(library.folder, "backups"))).toEqual(["before-999-half.sqlite"]);
  await migrate(library.opened, library.folder, { ...MIGRATIONS, "999-whole": { up: async (db: typeof library.opened.db) => { await sql`create table extra (id integer)`.execute(db); } } });
  await library.close();
  await expect(openLibrary(library.folder)).rejects.toMatchObject({ code: "newer" });
});

test("verify, backup and restore: damage is found, the backup brings the records back, the damaged file is kept", async () => {
  const { library, runId, jobVersionId } = await withRun(["1", "2"]);
  const backup = await library.backup();
  await add(library, runId, jobVersionId, "3", 7);
  await library.close();
  expect(await verifyLibrary(library.folder)).toMatchObject({ problems: [], counts: { jobs: 1, runs: 1, checks: 3, tray: 0 } });
  const bytes = readFileSync(library.file);
  writeFileSync(library.file, bytes.fill(0x5a, 100, bytes.length));
  expect((await verifyLibrary(library.folder)).problems).not.toEqual([]);
  const former = await restoreLibrary(library.folder, backup);
  expect(existsSync(former ?? "")).toBe(true);
  expect(await verifyLibrary(library.folder)).toMatchObject({ problems: [], counts: { checks: 2 } });
  await expect(restoreLibrary(library.folder, former ?? "")).rejects.toMatchObject({ code: "damaged" });
  expect(await verifyLibrary(library.folder)).toMatchObject({ problems: [], counts: { checks: 2 } });
});

test("verify finds a check that does not agree with its record", async () => {
  const { library } = await withRun(["1", "2"]);
  library.opened.raw.exec("update checks set worst = 9 where id = 2");
  await library.close();
  expect((await verifyLibrary(library.folder)).problems).toEqual(["Check 2 does not agree with its record."]);
});

test("a restored database is not written to by a program that has the former one open", async () => {
  const { library, runId, jobVersionId } = await withRun(["1"]);
  await restoreLibrary(library.folder, await library.backup());
  await expect(add(library, runId, jobVersionId, "2", 5)).rejects.toMatchObject({ code: "vanished" });
  await library.close();
});

test("export: every entry as a JSON line, checks as CSV in their order", async () => {
  const { library, runId } = await withRun(["2", "1"]);
  await library.dispositions.decide({ runId, sheets: ["2"], decision: "scrap", who: "Ada", why: "torn" });
  const lines = [...exportJsonLines(library.folder)].map((l) => JSON.parse(l) as { table: string; row: Record<string, unknown> });
  expect(lines.filter((l) => l.table === "check_records").map((l) => l.row.record)).toEqual([measured("2", 0.1), measured("1", 0.1)]);
  expect(lines.find((l) => l.table === "check_records")?.row.overlay).toEqual(overlay);
  const csv = Papa.parse<string[]>([...exportCsv(library.folder, runId)].join(""), { skipEmptyLines: true }).data;
  const column = (name: string) => csv.slice(1).map((l) => l[csv[0].indexOf(name)]);
  expect([column("sheet"), column("decision"), column("worst")]).toEqual([["1", "2"], ["", "scrap"], ["0.1", "0.1"]]);
  expect([...exportCsv(library.folder, 99)]).toHaveLength(1);
  await library.close();
});
