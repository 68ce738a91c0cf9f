import { mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterEach, expect, test, vi } from "vitest";
import { createApp } from "../../../../electron/host/app/app.ts";
import { Desk } from "../../../../electron/host/app/desk.ts";
import { Inbox } from "../../../../electron/host/app/inbox.ts";
import type { DeskState } from "../../../../electron/host/app/routes/deskRoutes.ts";
import { openLibrary } from "../../../../electron/host/library/library.ts";
import { measured, overlay } from "../../library/records.ts";
import { JOB } from "../../../screens/fixture/sheets.ts";

const folders: string[] = [];
function fresh(): string {
  const folder = mkdtempSync(path.join(tmpdir(), "kerfmark-inbox-"));
  folders.push(folder);
  return folder;
}
afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

const picturesIn = (folder: string) => readdirSync(folder).filter((name) => name.endsWith(".jpg"));

/** The program without its measuring: every picture is good. `end` stops it as a crash would, or in order. */
async function program(dataDir: string) {
  const stopping = new AbortController();
  const library = await openLibrary(path.join(dataDir, "library"));
  const never = async () => Promise.reject(new Error("not asked"));
  const check = async ({ name }: { name?: string }) => ({ record: measured(undefined, 0.1, { image: name ?? "" }), overlay });
  const app = createApp({ pool: { workers: 1, check, sort: never, preview: never, rewriteHeic: never }, library, dataDir, samplesDir: dataDir, version: "0", stopping: stopping.signal });
  const post = (address: string, body?: string) => app.request(address, { method: "POST", body });
  const desk = async () => (await (await app.request("/api/desk")).json()) as DeskState;
  return { app, library, post, desk, end: async () => {
    stopping.abort();
    await library.close();
  } };
}

test("pictures that were not measured lie on the desk again at the next start, in their order; the others are in the run", async () => {
  const folder = fresh();
  const first = await program(folder);
  await first.post("/api/desk/job", JSON.stringify(JOB));
  for (const name of ["b.jpg", "a.jpg", "c.jpg", "d.jpg"]) await first.post(`/api/pictures?name=${name}&from=screen`, `picture ${name}`);
  const [b, a] = (await first.desk()).pictures;
  expect((await first.post(`/api/pictures/${b.id}/check`)).status).toBe(200);
  await first.app.request(`/api/pictures/${a.id}`, { method: "DELETE" });
  await first.end();

  const second = await program(folder);
  const state = await second.desk();
  expect(state.job).toEqual(JOB);
  expect(state.pictures.map(({ name, resumed, from }) => [name, resumed, from])).toEqual([["c.jpg", true, "screen"], ["d.jpg", true, "screen"]]);
  expect(await second.library.checks.count(1)).toBe(1);
  for (const { id } of state.pictures) expect((await second.post(`/api/pictures/${id}/check`)).status).toBe(200);
  expect(await second.library.checks.count(1)).toBe(3);
  await second.end();

  const third = await program(folder);
  expect(await third.desk()).toMatchObject({ job: null, pictures: [] });
  expect(picturesIn(path.join(folder, "inbox/1"))).toEqual([]);
  await third.end();
});

test("the library keeps measured pictures whatever its setting: the desk's own files go", async () => {
  const folder = fresh();
  const one = await program(folder);
  await one.library.settings.set("pictures", "in-place");
  await one.post("/api/desk/job", JSON.stringify(JOB));
  await one.post("/api/pictures?name=a.jpg", "picture a");
  const [{ id, sha256 }] = (await one.desk()).pictures;
  await one.post(`/api/pictures/${id}/check`);
  const kept = await one.library.pictures.find(sha256);
  await one.end();
  expect(kept?.copied).toBe(true);
  expect(statSync(kept?.path ?? "").size).toBe(9);
  expect(picturesIn(path.join(folder, "inbox/1"))).toEqual([]);
});

test("opening another job leaves unmeasured pictures behind, and they can be gone back to", async () => {
  const one = await program(fresh());
  await one.post("/api/desk/job", JSON.stringify(JOB));
  for (const name of ["a.jpg", "b.jpg"]) await one.post(`/api/pictures?name=${name}`, name);
  await one.post("/api/desk/job", JSON.stringify({ ...JOB, id: "CARD-9", name: "Another card" }));
  expect(await one.desk()).toMatchObject({ job: { id: "CARD-9" }, pictures: [], leftBehind: { job: JOB.name, waiting: 2 } });
  expect((await (await one.post("/api/desk/reopen")).json()) as DeskState).toMatchObject({ job: { id: JOB.id }, pictures: [{ name: "a.jpg" }, { name: "b.jpg" }], leftBehind: null });
  await one.end();
});

test("two programs on one library have an inbox each; what either leaves is taken up", () => {
  const folder = fresh();
  const [one, two] = [Inbox.open(folder), Inbox.open(folder)];
  expect(two.folder).not.toBe(one.folder);
  const desk = new Desk(two);
  desk.open(JOB);
  const file = path.join(two.folder, "x.jpg");
  writeFileSync(file, "x");
  desk.lay({ sha256: "a".repeat(64), path: file, bytes: 1 }, "x.jpg", new Date(0));
  two.close();
  one.close();
  const next = Inbox.open(folder);
  expect(next.left()?.pictures.map(({ path: where }) => where)).toEqual([file]);
  next.close();
});

test("files are deleted when they have been needed no longer for a while, unless they are put back", () => {
  const inbox = Inbox.open(fresh());
  const desk = new Desk(inbox);
  desk.open(JOB);
  const lay = (name: string) => {
    const file = path.join(inbox.folder, name);
    writeFileSync(file, name);
    return desk.lay({ sha256: name.padEnd(64, "0"), path: file, bytes: 5 }, name, new Date(0)).picture.id;
  };
  const [gone, back] = [lay("gone.jpg"), lay("back.jpg")];
  desk.takeOff(gone);
  desk.takeOff(back);
  desk.putBack(back);
  inbox.makeRoom();
  expect(picturesIn(inbox.folder)).toEqual(["back.jpg", "gone.jpg"]);
  inbox.makeRoom(Date.now() + 11 * 60_000);
  expect(picturesIn(inbox.folder)).toEqual(["back.jpg"]);
  expect(() => inbox.makeRoom(Date.now(), 5)).toThrow("Too many pictures wait on the desk.");
  inbox.close();
});

test("a damaged list is set aside with its pictures, and said", () => {
  const folder = fresh();
  const first = Inbox.open(folder);
  writeFileSync(path.join(first.folder, "x.jpg"), "x");
  first.close();
  writeFileSync(path.join(first.folder, "inbox.sqlite"), "no database at all ".repeat(100));
  const said = vi.spyOn(console, "error").mockImplementation(() => undefined);
  const next = Inbox.open(folder);
  expect(next.left()).toBeNull();
  expect(said.mock.calls.flat().join()).toContain("is damaged. The pictures are in");
  const aside = readdirSync(folder).find((name) => name.includes("damaged")) ?? "";
  expect(picturesIn(path.join(folder, aside))).toEqual(["x.jpg"]);
  said.mockRestore();
  next.close();
});
