// Installs the dependencies where what is installed is not what package-lock.json says.
import { existsSync, mkdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { withLock } from "./lock.mjs";
import { npmCi } from "./npm.mjs";

/**
 * @typedef {{ version?: string, integrity?: string, optional?: boolean }} LockedPackage
 * @typedef {Record<string, LockedPackage>} LockedPackages packages by their folder
 */

/**
 * Does nothing in an installed package of ours: it has no lock file, and npm has installed what it needs.
 * @param {string} root the project's folder
 * @param {string} node
 */
export async function installDependencies(root, node) {
  if (!existsSync(path.join(root, "package-lock.json")) || isInstalled(root)) return;
  mkdirSync(path.join(root, ".cache"), { recursive: true });
  await withLock(path.join(root, ".cache", "dependencies.lock"), "installing packages", async () => {
    if (isInstalled(root)) return;
    process.stderr.write("Installing Kerfmark's packages (once, and when their list changes) …\n");
    await npmCi(root, node, ["--include=dev", "--include=optional"]);
  });
}

/** @param {string} root */
function isInstalled(root) {
  const installed = readPackages(path.join(root, "node_modules/.package-lock.json"));
  const wanted = readPackages(path.join(root, "package-lock.json"));
  return installed !== undefined && wanted !== undefined && agree(wanted, installed);
}

/**
 * Whether everything wanted is installed in the wanted version, and nothing else is. Optional packages may be missing:
 * npm leaves out those for other platforms.
 * @param {LockedPackages} wanted
 * @param {LockedPackages} installed
 */
export function agree(wanted, installed) {
  const isThere = Object.entries(wanted).every(([folder, { version, integrity, optional }]) => {
    const found = installed[folder];
    return folder === "" || (found ? found.version === version && found.integrity === integrity : optional === true);
  });
  return isThere && Object.keys(installed).every((folder) => folder in wanted);
}

/** @param {string} file @returns {LockedPackages | undefined} undefined where there is no such file, or half a one */
function readPackages(file) {
  if (!existsSync(file)) return undefined;
  try {
    return JSON.parse(readFileSync(file, "utf8")).packages;
  } catch (error) {
    if (error instanceof SyntaxError) return undefined;
    throw error;
  }
}
