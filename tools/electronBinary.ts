import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import path from "node:path";
import { root } from "./run.ts";

const FETCH_MS = 20_000;
const TRY_AGAIN_MS = 24 * 3_600_000;
const folder = path.join(root, "node_modules/electron");

/**
 * Path of Electron's binary, or why there is none. Its package comes without; its installer is tried with a time limit,
 * and after a failure not again for a day. (Importing the package instead would fetch without a limit.)
 */
export function electronBinary(): { readonly path: string } | { readonly reason: string } {
  if (process.platform === "linux" && !process.env.DISPLAY && !process.env.WAYLAND_DISPLAY) return { reason: "there is no display" };
  const there = installed();
  if (there) return { path: there };
  const failed = path.join(root, ".cache", `electron-${version()}-failed`);
  const reason = "Electron's binary cannot be fetched here";
  const last = statSync(failed, { throwIfNoEntry: false });
  if (last && Date.now() - last.mtimeMs < TRY_AGAIN_MS) return { reason };
  process.stderr.write(`Fetching Electron (once, at most ${FETCH_MS / 1000} s) …\n`);
  spawnSync(process.execPath, [path.join(folder, "install.js")], { timeout: FETCH_MS, stdio: "ignore" });
  const fetched = installed();
  if (fetched) return { path: fetched };
  mkdirSync(path.dirname(failed), { recursive: true });
  writeFileSync(failed, "");
  return { reason };
}

/** Path of the binary where it is there; nothing is fetched. */
export function installed(): string | undefined {
  const named = path.join(folder, "path.txt");
  if (!existsSync(named)) return undefined;
  const binary = path.join(process.env.ELECTRON_OVERRIDE_DIST_PATH ?? path.join(folder, "dist"), readFileSync(named, "utf8"));
  return existsSync(binary) ? binary : undefined;
}

function version(): string {
  return (JSON.parse(readFileSync(path.join(folder, "package.json"), "utf8")) as { version: string }).version;
}
