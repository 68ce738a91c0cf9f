import { spawn } from "node:child_process";
import { createRequire } from "node:module";
import path from "node:path";
import { fileURLToPath } from "node:url";

/** The project's folder. */
export const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));

/** Exit status of a command run in the project's folder, its output shown. A command ended by a signal counts as failed. */
export function run(command: string, args: readonly string[], env: NodeJS.ProcessEnv = {}): Promise<number> {
  return new Promise((resolve, reject) => {
    const child = spawn(command, args, { cwd: root, stdio: "inherit", env: { ...process.env, ...env } });
    child.on("error", reject);
    child.on("close", (status) => resolve(status ?? 1));
  });
}

/** Runs the command `bin` of an installed package under this Node, without npx (which costs half a second). */
export function runBin(packageName: string, bin: string, args: readonly string[], env: NodeJS.ProcessEnv = {}): Promise<number> {
  return run(process.execPath, [binOf(packageName, bin), ...args], env);
}

function binOf(packageName: string, bin: string): string {
  const manifest = path.join(root, "node_modules", packageName, "package.json");
  const declared = (createRequire(import.meta.url)(manifest) as { bin: string | Record<string, string> }).bin;
  return path.join(path.dirname(manifest), typeof declared === "string" ? declared : declared[bin]);
}
