// Finds a Node 24: the one that runs us, or a private copy from the npm registry, pinned with its checksum by
// tools/runtime/package-lock.json.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync } from "node:fs";
import os from "node:os";
import path from "node:path";
import { withLock } from "./lock.mjs";
import { npmCi } from "./npm.mjs";

const WANTED_MAJOR = 24;

/**
 * Path of a Node 24 or later.
 * @param {string} root the project's folder
 * @returns {Promise<string>}
 */
export async function findNode24(root) {
  if (Number.parseInt(process.versions.node, 10) >= WANTED_MAJOR) return process.execPath;
  const pinned = path.join(root, "tools/runtime");
  const name = packageName(pinned);
  const key = createHash("sha256").update(readFileSync(path.join(pinned, "package-lock.json"))).digest("hex").slice(0, 12);
  const cache = cacheFolder(root);
  const folder = path.join(cache, `node-${key}`);
  const node = path.join(folder, "node_modules", name, "bin", process.platform === "win32" ? "node.exe" : "node");
  if (existsSync(node)) return node;
  await withLock(path.join(cache, "node.lock"), "fetching Node.js", async () => {
    if (!existsSync(node)) await fetchNode(pinned, folder, name);
  });
  return node;
}

/** @param {string} pinned */
function packageName(pinned) {
  const name = `node-${process.platform === "win32" ? "win" : process.platform}-${process.arch}`;
  const { optionalDependencies } = JSON.parse(readFileSync(path.join(pinned, "package.json"), "utf8"));
  if (name in optionalDependencies) return name;
  throw new Error(
    `Kerfmark needs Node.js ${WANTED_MAJOR}, this is ${process.versions.node}, and the npm registry has no copy for ${process.platform} on ` +
      `${process.arch}: install Node.js ${WANTED_MAJOR} from nodejs.org, then run the command again.`,
  );
}

/** Inside the project, or in the user's own cache where the project cannot be written (a package installed for all). @param {string} root */
export function cacheFolder(root) {
  for (const folder of [path.join(root, ".cache"), path.join(os.homedir(), ".cache", "kerfmark")]) {
    try {
      mkdirSync(folder, { recursive: true });
      return folder;
    } catch (error) {
      if (!(error instanceof Error && "code" in error && ["EACCES", "EPERM", "EROFS"].includes(String(error.code)))) throw error;
    }
  }
  throw new Error("Neither the project's folder nor the home folder can be written, so that Node.js 24 cannot be put there: install Node.js 24.");
}

/** Installs beside the place and renames, so that a half-fetched copy is never used. @param {string} pinned @param {string} folder @param {string} name */
async function fetchNode(pinned, folder, name) {
  process.stderr.write(`Fetching Node.js ${WANTED_MAJOR} for Kerfmark alone (once, about 50 MB) …\n`);
  const half = `${folder}.half`;
  rmSync(half, { recursive: true, force: true });
  mkdirSync(half, { recursive: true });
  for (const file of ["package.json", "package-lock.json"]) copyFileSync(path.join(pinned, file), path.join(half, file));
  await npmCi(half, process.execPath, ["--include=optional"]);
  const package_ = path.join(half, "node_modules", name);
  const bin = path.join(package_, "bin");
  for (const extra of ["include", "share"]) rmSync(path.join(package_, extra), { recursive: true, force: true });
  const binary = existsSync(bin) ? path.join(bin, readdirSync(bin)[0]) : undefined;
  if (!binary || spawnSync(binary, ["--version"]).status !== 0) {
    rmSync(half, { recursive: true, force: true });
    throw new Error(`The npm registry's copy of Node.js ${WANTED_MAJOR} does not run on this machine: install Node.js ${WANTED_MAJOR} from nodejs.org.`);
  }
  rmSync(folder, { recursive: true, force: true });
  renameSync(half, folder);
}
