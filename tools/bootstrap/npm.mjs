// Runs npm's `ci` quietly under a given Node.
import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import path from "node:path";

/**
 * `npm ci` without packages' install scripts: none of ours needs one, and some would fetch binaries from elsewhere.
 * @param {string} folder where package.json and package-lock.json are
 * @param {string} node
 * @param {string[]} [options]
 */
export async function npmCi(folder, node, options = []) {
  const args = ["ci", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error", "--prefix", folder, ...options];
  const script = npmScript(node);
  const status = script
    ? await run(node, [script, ...args], folder, node, false)
    : await run("npm", args, folder, node, process.platform === "win32");
  if (status !== 0) throw new Error("npm could not install the packages (its own message is above): look at the network connection, then run the command again.");
}

/** npm's own script: the npm that runs us, or the one beside a Node; undefined where only the search path knows. @param {string} node */
function npmScript(node) {
  const running = process.env.npm_execpath;
  const candidates = [
    ...(running ? [path.join(path.dirname(running), "npm-cli.js")] : []),
    ...[process.execPath, node].flatMap((binary) => [
      path.join(path.dirname(binary), "node_modules/npm/bin/npm-cli.js"),
      path.join(path.dirname(binary), "../lib/node_modules/npm/bin/npm-cli.js"),
    ]),
  ];
  return candidates.find((candidate) => existsSync(candidate));
}

/**
 * @param {string} command @param {string[]} args @param {string} folder @param {string} node @param {boolean} shell
 * @returns {Promise<number | null>}
 */
function run(command, args, folder, node, shell) {
  const env = withNodeFirst(node, Object.fromEntries(Object.entries(process.env).filter(([name]) => !isOfOuterNpm(name))));
  return new Promise((resolve, reject) => {
    // npm's own talk goes to standard error: a verb's standard output belongs to the verb.
    const child = spawn(command, args, { cwd: folder, env, shell, stdio: ["ignore", 2, 2] });
    child.on("error", (error) => reject(new Error(`npm could not be started (${error.message}): install Node.js with npm.`)));
    child.on("close", resolve);
  });
}

/** What an outer `npm run` or `npx` tells its children about itself would misdirect an inner npm. @param {string} name */
function isOfOuterNpm(name) {
  return /^npm_(package_|lifecycle_|command$|config_(prefix|local_prefix|global|location|workspace|workspaces|package|call|omit|include|save))/i.test(name);
}

/** The environment with the folder of `node` first on the search path. @param {string} node @param {NodeJS.ProcessEnv} env */
export function withNodeFirst(node, env) {
  const name = Object.keys(env).find((key) => key.toUpperCase() === "PATH") ?? "PATH";
  return { ...env, [name]: `${path.dirname(node)}${path.delimiter}${env[name] ?? ""}` };
}
