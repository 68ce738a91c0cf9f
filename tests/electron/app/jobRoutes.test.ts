import { expect, test } from "vitest";
import { jobRoutes, type JobFileAnswer, type KeepAnswer } from "../../../electron/host/app/routes/jobRoutes.ts";
import { answerFault } from "../../../electron/host/app/fault.ts";
import type { JobEntry, JobPage } from "../../../electron/host/library/drafts.ts";
import { type Library, openLibrary } from "../../../electron/host/library/library.ts";
import { freshFolder, trayJob } from "../library/records.ts";

async function desk(): Promise<{ library: Library; ask: <T>(method: string, path: string, body?: unknown) => Promise<T> }> {
  const library = await openLibrary(freshFolder());
  const app = jobRoutes(library);
  app.onError(answerFault);
  const ask = async <T>(method: string, path: string, body?: unknown): Promise<T> => {
    const text = typeof body === "string" ? body : JSON.stringify(body);
    const answer = await app.request(path, { method, ...(body !== undefined && { body: text, headers: { "content-type": typeof body === "string" ? "text/plain" : "application/json" } }) });
    return (answer.headers.get("content-type")?.includes("json") ? await answer.json() : await answer.text()) as T;
  };
  return { library, ask };
}

test("a job from nothing: drafts are kept as they are, a version only of what is a whole job, the same content twice is one version", async () => {
  const { library, ask } = await desk();
  const job = trayJob();
  const { id } = await ask<{ id: number }>("POST", "/", { ...job, marks: [], cuts: [] });
  expect(await ask<JobEntry[]>("GET", "/")).toMatchObject([{ id, job: "TRAY-7", versions: 0, draft: true }]);
  const early = await ask<KeepAnswer>("POST", `/${id}/versions`);
  expect(early.kept).toBe(false);
  expect(!early.kept && early.faults.map((f) => f.path)).toContain("marks");

  await ask("PUT", `/${id}/draft`, job);
  const kept = await ask<KeepAnswer>("POST", `/${id}/versions`);
  expect(kept).toMatchObject({ kept: true, page: { content: job, draft: false, versions: [{ version: 1, runs: 0 }] } });
  await ask("PUT", `/${id}/draft`, job);
  expect(await ask("POST", `/${id}/versions`)).toMatchObject({ kept: true, page: { versions: [{ version: 1 }] } });

  await ask("PUT", `/${id}/draft`, { ...job, bleed: 2 });
  const second = await ask<KeepAnswer>("POST", `/${id}/versions`);
  if (!second.kept) throw new Error("not kept");
  expect(second.page.versions.map((v) => v.version)).toEqual([2, 1]);
  expect(await ask("GET", `/${id}/versions/${second.page.versions[1].id}`)).toEqual(job);
  await library.close();
});

test("a run keeps the version it was measured with when the job goes on changing", async () => {
  const { library, ask } = await desk();
  const first = await library.jobs.put(trayJob());
  await library.runs.start({ jobVersionId: first.id });
  await ask("PUT", `/${first.jobId}/draft`, trayJob({ bleed: 4 }));
  await ask("POST", `/${first.jobId}/versions`);
  const page = await ask<JobPage>("GET", `/${first.jobId}`);
  expect(page.versions).toMatchObject([{ version: 2, runs: 0 }, { version: 1, runs: 1 }]);
  expect((await library.jobs.version(first.id)).job).toEqual(trayJob());
  await library.close();
});

test("ids: the next free one where taken, not another's, and fixed once a version is kept", async () => {
  const { library, ask } = await desk();
  const { id: first } = await ask<{ id: number }>("POST", "/", trayJob());
  const { id: second } = await ask<{ id: number }>("POST", "/", trayJob());
  expect((await ask<JobPage>("GET", `/${second}`)).content.id).toBe("TRAY-7-2");
  expect(await ask("PUT", `/${second}/draft`, trayJob())).toMatchObject({ fault: { code: "conflict" } });
  await ask("PUT", `/${second}/draft`, trayJob({ id: "TRAY-9" }));
  expect((await ask<JobEntry[]>("GET", "/")).map((j) => j.job).sort()).toEqual(["TRAY-7", "TRAY-9"]);
  await ask("POST", `/${first}/versions`);
  expect(await ask("PUT", `/${first}/draft`, trayJob({ id: "OTHER" }))).toMatchObject({ fault: { code: "invalid" } });
  await library.close();
});

test("duplicating, removing and bringing back", async () => {
  const { library, ask } = await desk();
  const { jobId } = await library.jobs.put(trayJob());
  const copy = await ask<{ id: number }>("POST", `/${jobId}/duplicate`, { name: "Shelf tray, copy" });
  expect((await ask<JobPage>("GET", `/${copy.id}`)).content).toEqual(trayJob({ id: "TRAY-7-2", name: "Shelf tray, copy" }));
  const gone = await ask<{ id: number }>("DELETE", `/${jobId}`);
  expect((await ask<JobEntry[]>("GET", "/")).map((j) => j.id)).toEqual([copy.id]);
  expect(await ask("GET", `/${jobId}`)).toMatchObject({ fault: { code: "not-found" } });
  await ask("POST", `/undo/${gone.id}`);
  expect((await ask<JobEntry[]>("GET", "/")).length).toBe(2);
  await library.close();
});

test("a job file becomes a version and loses nothing; one that lacks marks becomes a draft; another draft of it is set aside, not overwritten", async () => {
  const { library, ask } = await desk();
  const job = trayJob({ codes: [{ symbology: "qr", x: 500, y: 20, size: 18, payload: "job={job};sheet={sheet}" }], bleed: 3, safe: 2, datum: { x: 10, y: 20 }, tolerance: { position: 0.5, crease: 0.8 } });
  const taken = await ask<JobFileAnswer>("POST", "/file", JSON.stringify(job));
  if (!taken.taken) throw new Error("not taken");
  expect((await ask<JobPage>("GET", `/${taken.id}`)).content).toEqual(job);

  await ask("PUT", `/${taken.id}/draft`, { ...job, bleed: 9 });
  await ask("POST", "/file", JSON.stringify({ ...job, bleed: 5 }));
  const page = await ask<JobPage>("GET", `/${taken.id}`);
  expect([page.content.bleed, page.draft, page.versions.length]).toEqual([5, false, 3]);

  const bare = await ask<JobFileAnswer>("POST", "/file", JSON.stringify({ ...job, id: "BARE", marks: [], codes: [] }));
  expect(bare).toMatchObject({ taken: true, faults: [{ path: "marks" }] });
  expect(await ask("POST", "/file", "{ no job")).toMatchObject({ taken: false });
  expect(await ask("POST", "/file", JSON.stringify({ ...job, colour: "red" }))).toMatchObject({ taken: false, faults: [{ path: "colour" }] });
  await library.close();
});

test("presets by name; a sketch shows cuts, creases and marks", async () => {
  const { library, ask } = await desk();
  await ask("PUT", "/presets", { name: "seed trays", meanings: { Die: "cut" } });
  const [preset] = await ask<{ id: number }[]>("PUT", "/presets", { name: "seed trays", meanings: { Die: "cut", Fold: "crease" } });
  expect(preset).toMatchObject({ name: "seed trays", meanings: { Die: "cut", Fold: "crease" } });
  await ask("DELETE", `/presets/${preset.id}`);
  expect(await ask("GET", "/presets")).toEqual([]);
  const { jobId } = await library.jobs.put(trayJob());
  const sketch = await ask<string>("GET", `/${jobId}/sketch.svg`);
  expect(sketch).toContain("M100 600L400 600L400 400L100 400Z");
  expect(sketch.match(/<circle/g)).toHaveLength(3);
  await library.close();
});
