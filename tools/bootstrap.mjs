#!/usr/bin/env node
// Runs a script of this project under Node 24 with its dependencies in place, whatever Node (18 or later) started it:
//
//   node tools/bootstrap.mjs SCRIPT [ARGUMENT...]
//
// It runs before anything is installed, so it imports nothing but Node's own modules and is plain JavaScript.
// When everything is in place it costs two small file reads.
import path from "node:path";
import { fileURLToPath } from "node:url";
import { installDependencies } from "./bootstrap/dependencies.mjs";
import { cacheFolder, findNode24 } from "./bootstrap/node24.mjs";
import { keepCompiled, runScript } from "./bootstrap/run.mjs";

export const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));

/**
 * Prepares the machine, then runs the script in this process's place.
 * @param {string} script path of the script, relative to the project's folder
 * @param {string[]} args
 */
export async function bootstrap(script, args) {
  const node = await findNode24(root);
  await installDependencies(root, node);
  keepCompiled(cacheFolder(root));
  await runScript(node, path.resolve(root, script), args);
}

/** One sentence on standard error, and a failing exit status: for faults whose stack helps nobody. */
export function giveUp(/** @type {unknown} */ error) {
  process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`);
  process.exitCode = 1;
}

if (process.argv[1] && path.resolve(process.argv[1]) === fileURLToPath(import.meta.url)) {
  const [script, ...args] = process.argv.slice(2);
  if (!script) giveUp("Usage: node tools/bootstrap.mjs SCRIPT [ARGUMENT...]");
  else await bootstrap(script, args).catch(giveUp);
}
