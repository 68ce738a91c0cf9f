/**
 * 200 kills at random moments while taking in (argument: another number of kills). Prints what was acknowledged, missing, doubled and damaged; exits with 1
 * unless the last three are none. As root also takes in until a 3 MB disk is full.
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { openLibrary } from "../../electron/host/library/library.ts";
import { verifyLibrary } from "../../electron/host/library/verify.ts";
import { anyMoment, killWhileTakingIn } from "../electron/library/killing.ts";
import { freshFolder, trayJob } from "../electron/library/records.ts";

const kills = Number(process.argv[2] ?? 200);
const started = performance.now();
const result = await killWhileTakingIn(freshFolder(), kills, () => anyMoment(Math.random));
console.log({ ...result, seconds: Math.round((performance.now() - started) / 1000) });
let failed = result.missing.length + result.doubled + result.problems.length > 0;
if (process.getuid?.() === 0) failed = (await fillDisk()) || failed;
process.exitCode = failed ? 1 : 0;

async function fillDisk(): Promise<boolean> {
  const disk = mkdtempSync(join(tmpdir(), "kerfmark-disk-"));
  if (spawnSync("mount", ["-t", "tmpfs", "-o", "size=3m", "tmpfs", disk]).status !== 0) {
    console.log("Full disk: not tried, no disk can be mounted here.");
    return false;
  }
  try {
    const library = await openLibrary(disk);
    const version = await library.jobs.put(trayJob());
    await library.runs.start({ jobVersionId: version.id });
    await library.close();
    const child = fileURLToPath(new URL("../electron/library/takeInUntilKilled.ts", import.meta.url));
    const run = spawnSync(process.execPath, [child, disk, "0", "100000"], { encoding: "utf8" });
    const acknowledged = run.stdout.split("\n").filter((l) => /^\d+$/.test(l)).length;
    const { problems, counts } = await verifyLibrary(disk);
    spawnSync("mount", ["-o", "remount,ro", disk]);
    const readOnly = spawnSync(process.execPath, [child, disk, "0", "100000"], { encoding: "utf8" }).stderr.trim();
    console.log({ fullDisk: run.stderr.trim(), acknowledged, recorded: counts.checks, problems, readOnly });
    return problems.length > 0 || counts.checks < acknowledged || !run.stderr.startsWith("LibraryFault") || !readOnly.startsWith("LibraryFault");
  } finally {
    spawnSync("umount", [disk]);
    rmSync(disk, { recursive: true, force: true });
  }
}
