import { expect, test, vi } from "vitest";
import { HotFolderStation } from "../../../electron/host/watch/station.ts";
import { takeFromTray } from "../../../electron/host/watch/takeIn.ts";
import { trayJob } from "../library/records.ts";
import { reading, scene } from "./scene.ts";

test("the hot folder of the program: chosen once, watched again at the next start, forgotten when stopped", async () => {
  const { inbox, library, drop } = await scene();
  drop("1.jpg", "TRAY-7 1 0.1");
  const first = new HotFolderStation(library, reading);
  await first.start({ folder: inbox, jobs: [], numbering: null });
  await vi.waitFor(() => expect(first.state()).toMatchObject({ entered: 1, waiting: 0, latest: [{ kind: "check", text: "TRAY-7 1 in" }] }), { timeout: 20_000, interval: 50 });
  await first.close();

  drop("2.jpg", "DISPLAY-2 1 0.1");
  drop("3.jpg", "no marks here");
  const second = new HotFolderStation(library, reading);
  await second.resume();
  await vi.waitFor(() => expect(second.state()).toMatchObject({ entered: 1, tray: 1, known: 1 }), { timeout: 20_000, interval: 50 });
  expect((await second.stop()).watching).toBeNull();
  expect(await library.settings.get("hotFolder")).toBeNull();
  expect((await library.runs.list()).map((run) => [run.job, run.checks])).toEqual([["DISPLAY-2", 1], ["TRAY-7", 1]]);
  await library.close();
});

test("a folder that is not there is refused, or kept as trouble when the program starts without it", async () => {
  const { inbox, library } = await scene();
  const station = new HotFolderStation(library, reading);
  await expect(station.start({ folder: `${inbox}-none`, jobs: [], numbering: null })).rejects.toMatchObject({ code: "missing" });
  await expect(station.start({ folder: "inbox", jobs: [], numbering: null })).rejects.toMatchObject({ code: "invalid" });
  await expect(station.start({ folder: inbox, jobs: ["NONE"], numbering: null })).rejects.toMatchObject({ code: "invalid" });
  await library.settings.set("hotFolder", { folder: `${inbox}-none`, jobs: [], numbering: null });
  await station.resume();
  expect(station.state()).toMatchObject({ watching: { folder: `${inbox}-none` }, trouble: { message: expect.stringContaining("There is no folder") as string } });
  await library.close();
});

test("a sheet without a code waits in the tray until the operator says its job and number", async () => {
  const { inbox, library, jobs, drop } = await scene();
  drop("1.jpg", "* - 0.1");
  const station = new HotFolderStation(library, reading);
  await station.start({ folder: inbox, jobs: [], numbering: null });
  await vi.waitFor(() => expect(station.state().tray).toBe(1), { timeout: 20_000, interval: 50 });
  await station.stop();
  const [entry] = await library.tray.list();
  expect(entry.reason.code).toBe("marks-ambiguous");
  // Against all jobs it fits two as before, and stays.
  expect(await takeFromTray(library, reading, entry, { jobs })).toMatchObject({ kind: "tray" });
  expect(await library.tray.count()).toBe(1);
  expect(await takeFromTray(library, reading, entry, { jobs: [jobs[1]], sheet: "17" })).toMatchObject({ kind: "check" });
  expect(await library.tray.count()).toBe(0);
  expect((await library.runs.list())[0]).toMatchObject({ job: "DISPLAY-2", checks: 1 });
  expect((await library.checks.page(1))[0].sheet).toBe("17");
  await library.close();
});

test("a job that is added while the folder is watched counts from then on", async () => {
  const { inbox, library, drop } = await scene();
  const station = new HotFolderStation(library, reading);
  await station.start({ folder: inbox, jobs: [], numbering: null });
  await library.jobs.put(trayJob({ id: "LATE-1", name: "Lid" }));
  drop("1.jpg", "LATE-1 1 0.1");
  await vi.waitFor(() => expect(station.state()).toMatchObject({ entered: 1, tray: 0, latest: [{ text: "LATE-1 1 in" }] }), { timeout: 20_000, interval: 50 });
  await station.close();
  await library.close();
});
