import { appendFileSync, copyFileSync, rmSync, utimesSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { expect, test } from "vitest";
import type { Library } from "../../../electron/host/library/library.ts";
import { HotFolder, type HotFolderOptions } from "../../../electron/host/watch/hotFolder.ts";
import type { Measuring, Taken } from "../../../electron/host/watch/takeIn.ts";
import { reading, scene } from "./scene.ts";

async function watchUntilIdle(inbox: string, library: Library, options: Partial<HotFolderOptions> & Pick<HotFolderOptions, "jobs">): Promise<Taken[]> {
  const taken: Taken[] = [];
  const folder = new HotFolder(inbox, { library, measuring: reading, settle: 100, workers: 2, onTaken: (t) => taken.push(t), ...options });
  await folder.idle();
  await folder.close();
  return taken;
}

test("a mixed stack sorts itself into the runs of its jobs, and what cannot be measured lies in the tray", async () => {
  const { inbox, library, jobs, drop } = await scene();
  drop("a.jpg", "TRAY-7 12 0.1");
  drop("b.jpg", "DISPLAY-2 3 0.2");
  drop("c.jpg", "TRAY-7 2 0.9");
  drop("d.jpg", "darkness");
  drop("e.jpg", "STRANGER-1 5 0.1");
  drop("notes.txt", "not a picture");
  const taken = await watchUntilIdle(inbox, library, { jobs: async () => jobs });
  expect(taken.map((t) => t.kind).sort()).toEqual(["check", "check", "check", "tray", "tray"]);
  const runs = await library.runs.list();
  const byJob = await Promise.all(runs.map(async (r) => [r.job, (await library.checks.page(r.id)).map((c) => c.sheet)]));
  expect(Object.fromEntries(byJob)).toEqual({ "TRAY-7": ["2", "12"], "DISPLAY-2": ["3"] });
  expect((await library.tray.list()).map((t) => [t.image, t.reason.code]).sort()).toEqual([["d.jpg", "no-job"], ["e.jpg", "no-job"]]);
  await library.close();
});

test("a sheet without a code that fits two jobs is left to people; with one job it goes in under the operator's numbers", async () => {
  const { inbox, library, jobs, drop } = await scene();
  drop("a.jpg", "* - 0.1");
  expect(await watchUntilIdle(inbox, library, { jobs: async () => jobs })).toMatchObject([{ kind: "tray", reason: { code: "marks-ambiguous" } }]);
  for (const [i, name] of ["b.jpg", "c.jpg", "d.jpg"].entries()) {
    drop(name, `TRAY-7 - 0.${i + 2}`);
    utimesSync(join(inbox, name), 1000 + i, 1000 + i);
  }
  await watchUntilIdle(inbox, library, { jobs: async () => jobs.slice(0, 1), numbering: { first: 10, step: 10 }, workers: 1 });
  const [run] = await library.runs.list();
  expect((await library.checks.page(run.id)).map((c) => c.sheet)).toEqual(["10", "20", "30"]);
  await library.close();
});

test("a restart, a copy under another name and a second arrival double nothing", async () => {
  const { inbox, library, jobs, drop } = await scene();
  for (let i = 1; i <= 6; i++) drop(`${i}.jpg`, i === 6 ? "darkness" : `TRAY-7 ${i} 0.1`);
  const stopped = new HotFolder(inbox, { library, measuring: reading, jobs: async () => jobs, settle: 100, workers: 2 });
  await wait(220);
  await stopped.close();
  copyFileSync(join(inbox, "1.jpg"), join(inbox, "copy.jpg"));
  await watchUntilIdle(inbox, library, { jobs: async () => jobs });
  const again = await watchUntilIdle(inbox, library, { jobs: async () => jobs });
  expect(again.map((t) => t.kind)).toEqual(Array(7).fill("known"));
  expect((await library.runs.list()).map((r) => r.checks)).toEqual([5]);
  expect(await library.tray.count()).toBe(1);
  await library.close();
});

test("a file that is still growing is not measured before it is whole", async () => {
  const { inbox, library, jobs, drop } = await scene();
  const taken: Taken[] = [];
  const folder = new HotFolder(inbox, { library, measuring: reading, jobs: async () => jobs, settle: 300, onTaken: (t) => taken.push(t) });
  drop("slow.jpg", "TRAY-7 ");
  for (const part of ["1", "7 ", "0.", "3"]) {
    await wait(120);
    appendFileSync(join(inbox, "slow.jpg"), part);
  }
  await wait(100);
  expect(taken).toEqual([]);
  await folder.idle();
  await folder.close();
  expect(taken).toMatchObject([{ kind: "check", record: { sheet: "17", worst: { value: 0.3 } } }]);
  await library.close();
});

test("while the library's disk is full the picture waits, and goes in when there is space", async () => {
  const { inbox, library, jobs, drop } = await scene();
  const { raw } = library.opened;
  await library.runs.start({ jobVersionId: jobs[0].id });
  raw.pragma(`max_page_count = ${raw.pragma("page_count", { simple: true }) as number}`);
  for (let i = 1; i <= 12; i++) drop(`${String(i).padStart(2, "0")}.jpg`, `TRAY-7 ${i} 0.1`);
  const troubles: string[] = [];
  const folder = new HotFolder(inbox, {
    library, measuring: reading, jobs: async () => jobs, settle: 100, retry: 50, onTrouble: (message) => {
      if (troubles.push(message) === 2) raw.pragma("max_page_count = 100000");
    },
  });
  await folder.idle();
  await folder.close();
  expect(troubles.length).toBeGreaterThanOrEqual(2);
  expect(troubles[0]).toMatch(/full/);
  expect((await library.runs.list())[0].checks).toBe(12);
  await library.close();
});

test("a picture that is taken away before its turn is told, not a failure", async () => {
  const { inbox, library, jobs, drop } = await scene();
  drop("a.jpg", "TRAY-7 1 0.1");
  const removing: Measuring = { ...reading, sort: async (request) => {
    const outcome = await reading.sort(request);
    rmSync(request.image as string, { force: true });
    return outcome;
  } };
  expect(await watchUntilIdle(inbox, library, { jobs: async () => jobs.slice(0, 1), measuring: removing })).toMatchObject([{ kind: "gone" }]);
  expect(await library.runs.list()).toEqual([]);
  await library.close();
});
