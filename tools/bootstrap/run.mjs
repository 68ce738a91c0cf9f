// Runs a script under a given Node as if it had been started itself: same streams, signals and exit status.
import { spawn } from "node:child_process";
import module from "node:module";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { withNodeFirst } from "./npm.mjs";

/**
 * Lets Node keep what it compiled (and what it made of TypeScript) for the next start: of a cold check that is a third. By the environment
 * it reaches children and worker threads too, which `module.enableCompileCache` alone does not.
 * @param {string} folder
 */
export function keepCompiled(folder) {
  if (process.env.NODE_COMPILE_CACHE || process.env.NODE_DISABLE_COMPILE_CACHE) return;
  process.env.NODE_COMPILE_CACHE = path.join(folder, "compiled");
  module.enableCompileCache?.(process.env.NODE_COMPILE_CACHE); // Not in Node 20, which only starts Node 24.
}

/**
 * In this process where it already runs under that Node; else in a child.
 * @param {string} node
 * @param {string} script absolute path
 * @param {string[]} args
 */
export async function runScript(node, script, args) {
  if (node === process.execPath) {
    process.argv = [process.execPath, script, ...args];
    await import(pathToFileURL(script).href);
    return;
  }
  const child = spawn(node, [script, ...args], { stdio: "inherit", env: withNodeFirst(node, process.env) });
  // A signal from the keyboard reaches the child by itself; one sent to this process alone must be handed on.
  const signals = /** @type {NodeJS.Signals[]} */ (["SIGINT", "SIGTERM", "SIGHUP"]);
  const handOn = signals.map((signal) => ({ signal, listener: () => void child.kill(signal) }));
  for (const { signal, listener } of handOn) process.on(signal, listener);
  const [status, signal] = await new Promise((resolve, reject) => {
    child.on("error", reject);
    child.on("close", (...end) => resolve(end));
  });
  for (const { signal: name, listener } of handOn) process.off(name, listener);
  if (signal) process.kill(process.pid, signal);
  else process.exitCode = status;
}
