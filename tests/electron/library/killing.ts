import { spawn } from "node:child_process";
import { fileURLToPath } from "node:url";
import { openLibrary } from "../../../electron/host/library/library.ts";
import { verifyLibrary } from "../../../electron/host/library/verify.ts";
import { picture, trayJob } from "./records.ts";

const CHILD = fileURLToPath(new URL("./takeInUntilKilled.ts", import.meta.url));

export interface KillingResult {
  readonly kills: number;
  readonly acknowledged: number;
  /** Checks in the library at the end; may exceed `acknowledged` by those committed in the instant of a kill. */
  readonly recorded: number;
  readonly missing: readonly number[];
  readonly doubled: number;
  readonly problems: readonly string[];
}

/**
 * Kills a process that is taking in `kills` times (SIGKILL, `delay()` ms after it has opened the library, or while it is opening), each time starting
 * again a few pictures back, as a restarted hot folder does. Then compares what was acknowledged with what is there.
 */
export async function killWhileTakingIn(folder: string, kills: number, delay: () => number): Promise<KillingResult> {
  const first = await openLibrary(folder);
  const version = await first.jobs.put(trayJob());
  await first.runs.start({ jobVersionId: version.id, name: "night run" });
  await first.close();
  const acknowledged = new Set<number>();
  for (let k = 0; k < kills; k++) await killOnce(folder, Math.max(0, acknowledged.size - 5), delay(), acknowledged);
  const { problems } = await verifyLibrary(folder);
  const library = await openLibrary(folder);
  const rows = library.opened.raw.prepare("select picture from checks where deleted_at is null").pluck().all() as string[];
  await library.close();
  const there = new Set(rows);
  const unlawful = problems.filter((p) => p !== "");
  return {
    kills, acknowledged: acknowledged.size, recorded: rows.length, missing: [...acknowledged].filter((i) => !there.has(picture(`p${i}`).sha256)),
    doubled: rows.length - there.size, problems: unlawful,
  };
}

/** Negative delays kill while the library is being opened, that many ms after the start. */
function killOnce(folder: string, from: number, delay: number, acknowledged: Set<number>): Promise<void> {
  const child = spawn(process.execPath, [CHILD, folder, String(from), "1000000"], { stdio: ["ignore", "pipe", "pipe"] });
  let text = "";
  let errors = "";
  let timer = delay < 0 ? setTimeout(() => child.kill("SIGKILL"), -delay) : undefined;
  child.stderr.on("data", (chunk: Buffer) => (errors += chunk.toString()));
  child.stdout.on("data", (chunk: Buffer) => {
    text += chunk.toString();
    timer ??= setTimeout(() => child.kill("SIGKILL"), delay);
  });
  return new Promise((resolve, reject) => {
    child.on("close", (_code, signal) => {
      if (signal !== "SIGKILL") return reject(new Error(`The child ended by itself: ${errors}`));
      // A line cut short by the kill is no acknowledgement.
      for (const line of text.slice(0, text.lastIndexOf("\n") + 1).split("\n")) if (/^\d+$/.test(line)) acknowledged.add(Number(line));
      resolve();
    });
  });
}
