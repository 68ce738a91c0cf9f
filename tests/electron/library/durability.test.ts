import { spawnSync } from "node:child_process";
import { renameSync, rmSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { openLibrary } from "../../../electron/host/library/library.ts";
import { verifyLibrary } from "../../../electron/host/library/verify.ts";
import { anyMoment, killWhileTakingIn } from "./killing.ts";
import { freshFolder, measured, overlay, picture, second, trayJob } from "./records.ts";

/** Numerical Recipes' quick generator (mod 2^32); second-hand, good enough to scatter delays. */
function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32;
}

test("12 kills at random moments lose nothing acknowledged and double nothing", async () => {
  const random = seeded(6);
  const result = await killWhileTakingIn(freshFolder(), 12, () => anyMoment(random));
  expect(result).toMatchObject({ missing: [], doubled: 0, problems: [] });
  expect(result.acknowledged).toBeGreaterThan(12);
  expect(result.recorded).toBeGreaterThanOrEqual(result.acknowledged);
});

test("a full disk is told in a sentence, and what was acknowledged is there", async () => {
  const folder = await folderWithRun();
  const child = fileURLToPath(new URL("./takeInUntilKilled.ts", import.meta.url));
  // A limit on file sizes (here 600 blocks of 1024 bytes) stops writing in the middle, as a full disk does; it needs no rights.
  const run = spawnSync("bash", ["-c", 'ulimit -f 600; exec "$0" "$@"', process.execPath, child, folder, "0", "100000"], { encoding: "utf8" });
  const acknowledged = run.stdout.split("\n").filter((l) => /^\d+$/.test(l)).length;
  expect(run.stderr).toMatch(/^LibraryFault: .*(full|may not grow|input or output)/);
  expect(acknowledged).toBeGreaterThan(10);
  const after = await verifyLibrary(folder);
  expect(after.problems).toEqual([]);
  expect(after.counts.checks).toBeGreaterThanOrEqual(acknowledged);
});

test("a database that may not grow is told as a full disk; the entries before it stay and later ones go in", async () => {
  const folder = await folderWithRun();
  const library = await openLibrary(folder);
  const pages = library.opened.raw.pragma("page_count", { simple: true }) as number;
  library.opened.raw.pragma(`max_page_count = ${pages + 20}`);
  let added = 0;
  const fill = async () => {
    for (; added < 1000; added++) await library.checks.add(newCheck(added));
  };
  await expect(fill()).rejects.toMatchObject({ name: "LibraryFault", code: "full", hint: expect.stringContaining("Free some space") as string });
  expect(await library.checks.count(1)).toBe(added);
  library.opened.raw.pragma("max_page_count = 1000000");
  expect(await library.checks.add(newCheck(added))).toMatchObject({ added: true });
  await library.close();
});

test("a folder that vanishes is noticed before anything is acknowledged", async () => {
  const folder = await folderWithRun();
  const library = await openLibrary(folder);
  await library.checks.add(newCheck(0));
  renameSync(folder, `${folder}-gone`);
  await expect(library.checks.add(newCheck(1))).rejects.toMatchObject({ code: "vanished" });
  renameSync(`${folder}-gone`, folder);
  expect(await library.checks.add(newCheck(1))).toMatchObject({ added: true });
  await library.close();
  rmSync(folder, { recursive: true });
  await expect(openLibrary(folder, { create: false })).rejects.toMatchObject({ code: "missing" });
});

test("a database that may only be read is told so", async () => {
  const folder = await folderWithRun();
  const library = await openLibrary(folder);
  library.opened.raw.pragma("query_only = ON");
  await expect(library.checks.add(newCheck(0))).rejects.toMatchObject({ code: "read-only", hint: expect.stringContaining("write permission") as string });
  library.opened.raw.pragma("query_only = OFF");
  expect(await library.checks.count(1)).toBe(0);
  await library.close();
});

async function folderWithRun(): Promise<string> {
  const folder = freshFolder();
  const library = await openLibrary(folder);
  const version = await library.jobs.put(trayJob());
  await library.runs.start({ jobVersionId: version.id });
  await library.close();
  return folder;
}

function newCheck(i: number) {
  return { runId: 1, jobVersionId: 1, picture: picture(`p${i}`), takenAt: second(i), outcome: { record: measured(String(i + 1), 0.1), overlay } };
}
