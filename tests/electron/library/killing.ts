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

/** When to kill: `ms` after the start (while the library is being opened), or `ms` after so many checks of this process were acknowledged. */
export interface Moment {
  readonly after: "start" | number;
  readonly ms: number;
}

/** One kill in six falls into the opening; the others at a random instant after six to twenty acknowledged checks, whatever the machine's speed. */
export function anyMoment(random: () => number): Moment {
  return random() < 1 / 6 ? { after: "start", ms: random() * 300 } : { after: 6 + Math.floor(random() * 15), ms: random() * 5 };
}

/**
 * Kills a process that is taking in `kills` times (SIGKILL), each time starting again five pictures back, as a restarted hot folder does. Then compares what was acknowledged with what is there.
 */
export async function killWhileTakingIn(folder: string, kills: number, moment: () => Moment): Promise<KillingResult> {
  const first = await openLibrary(folder);
  const version = await first.jobs.put(trayJob());
  await first.runs.start({ jobVersionId: version.id, name: "night run" });
  await first.close();
  const acknowledged = new Set<number>();
  for (let k = 0; k < kills; k++) await killOnce(folder, Math.max(0, acknowledged.size - 5), moment(), acknowledged);
  const { problems } = await verifyLibrary(folder);
  const library = await openLibrary(folder);
  const rows = library.opened.raw.prepare("select picture from checks where deleted_at is null").pluck().all() as string[];
  await library.close();
  const there = new Set(rows);
  return {
    kills, acknowledged: acknowledged.size, recorded: rows.length, missing: [...acknowledged].filter((i) => !there.has(picture(`p${i}`).sha256)),
    doubled: rows.length - there.size, problems,
  };
}

function killOnce(folder: string, from: number, { after, ms }: Moment, acknowledged: Set<number>): Promise<void> {
  const child = spawn(process.execPath, [CHILD, folder, String(from), "1000000"], { stdio: ["ignore", "pipe", "pipe"] });
  let text = "";
  let errors = "";
  let timer = after === "start" ? setTimeout(() => child.kill("SIGKILL"), ms) : undefined;
  child.stderr.on("data", (chunk: Buffer) => (errors += chunk.toString()));
  child.stdout.on("data", (chunk: Buffer) => {
    text += chunk.toString();
    // The first line says that the library is open.
    if (after !== "start" && text.split("\n").length - 2 >= after) timer ??= setTimeout(() => child.kill("SIGKILL"), ms);
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
