import { mkdirSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { builtinModules } from "node:module";
import path from "node:path";
import { withLock } from "./bootstrap/lock.mjs";
import { licencesOfDependencies } from "./licenceTexts.ts";
import { root } from "./run.ts";

const dist = path.join(root, "dist");

/** Builds the screens where a source is newer than what was built. */
export function screensUpToDate(): Promise<void> {
  return upToDate("screens", ["core", "electron/host", "renderer"], buildScreens);
}

/** Builds what runs under Node (for Electron, and for the package, in whose folder Node strips no types) likewise. */
export function programUpToDate(): Promise<void> {
  return upToDate("program", ["core", "electron"], buildProgram);
}

/** Builds everything anew. */
export async function buildAll(): Promise<void> {
  rmSync(dist, { recursive: true, force: true });
  await screensUpToDate();
  await programUpToDate();
}

async function upToDate(what: string, sources: readonly string[], make: () => Promise<unknown>): Promise<void> {
  const stamp = path.join(dist, `.${what}`);
  const isBuilt = (): boolean => (statSync(stamp, { throwIfNoEntry: false })?.mtimeMs ?? 0) > newest([...sources, "tools/building.ts", "package-lock.json"]);
  if (isBuilt()) return;
  mkdirSync(path.join(root, ".cache"), { recursive: true });
  await withLock(path.join(root, ".cache/build.lock"), "building", async () => {
    if (isBuilt()) return;
    const started = new Date();
    process.stderr.write(`Building the ${what} …\n`);
    await make();
    writeFileSync(stamp, started.toISOString());
  });
}

function newest(places: readonly string[]): number {
  const files = places.flatMap((place) => {
    const full = path.join(root, place);
    if (statSync(full).isFile()) return [full];
    return readdirSync(full, { recursive: true, withFileTypes: true }).filter((one) => one.isFile()).map((one) => path.join(one.parentPath, one.name));
  });
  return Math.max(...files.map((file) => statSync(file).mtimeMs));
}

async function buildScreens(): Promise<void> {
  const { build } = await import("vite"); // Loaded only when something is to be built: it costs a third of a second.
  await build({ configFile: path.join(root, "renderer/vite.config.ts"), logLevel: "warn" });
  await build({ configFile: path.join(root, "renderer/phone/vite.config.ts"), logLevel: "warn" });
  writeFileSync(path.join(dist, "renderer/licences.json"), JSON.stringify(licencesOfDependencies()));
}

/** One file per source file at the same place under dist/, so that a path told by `import.meta` means the same in both. */
async function buildProgram(): Promise<void> {
  const entries = ["electron/cli/kerfmark.ts", "electron/shell/main.ts", ...workers()].filter((file) => statSync(path.join(root, file), { throwIfNoEntry: false }));
  await bundle(entries, { format: "es", preserveModules: true, preserveModulesRoot: root, entryFileNames: "[name].js" });
  // A sandboxed preload is a classic script.
  const preload = "electron/shell/preload.ts";
  if (statSync(path.join(root, preload), { throwIfNoEntry: false })) await bundle([preload], { format: "cjs", entryFileNames: "electron/shell/preload.cjs" });
  const { name, version } = JSON.parse(readFileSync(path.join(root, "package.json"), "utf8")) as { name: string; version: string };
  writeFileSync(path.join(dist, "package.json"), `${JSON.stringify({ name, version, type: "module" })}\n`);
}

/** Sources that are started as threads: nothing imports them, so the build has to be told. */
export function workers(): string[] {
  const found = readdirSync(path.join(root, "electron"), { recursive: true, encoding: "utf8" });
  return found.filter((file) => /worker\.ts$/i.test(file)).map((file) => path.join("electron", file));
}

async function bundle(input: readonly string[], output: object): Promise<unknown> {
  const { build } = await import("vite");
  return build({
    root,
    configFile: false,
    logLevel: "warn",
    publicDir: false,
    ssr: { noExternal: [] },
    build: {
      ssr: true,
      outDir: dist,
      emptyOutDir: false,
      target: "node24",
      minify: false,
      rolldownOptions: { input: input.map((file) => path.join(root, file)), output, external: (id: string) => isPackage(id) },
    },
  });
}

function isPackage(id: string): boolean {
  return builtinModules.includes(id) || !(id.startsWith(".") || path.isAbsolute(id) || id.startsWith("\0"));
}
