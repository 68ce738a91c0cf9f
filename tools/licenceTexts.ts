import { readFileSync, readdirSync } from "node:fs";
import path from "node:path";
import { root } from "./run.ts";

export interface Licence {
  readonly name: string;
  readonly version: string;
  /** SPDX expression as the package states it. */
  readonly licence: string;
  /** The licence texts and notices that the package carries; "" where it has none. */
  readonly text: string;
}

/** The licences of all packages that are shipped, of this platform, by name. */
export function licencesOfDependencies(): Licence[] {
  const lock = JSON.parse(readFileSync(path.join(root, "package-lock.json"), "utf8")) as { packages: Record<string, { dev?: boolean; version?: string; license?: string }> };
  const shipped = Object.entries(lock.packages).filter(([folder, { dev }]) => folder !== "" && dev !== true);
  return shipped.flatMap(([folder, { version = "", license }]) => {
    const files = filesIn(path.join(root, folder));
    if (!files) return []; // Optional, for another platform.
    const texts = files.filter((name) => /^(licen[cs]e|copying|notice|third[-_ ]?party)/i.test(name)).sort();
    const text = texts.map((file) => readFileSync(path.join(root, folder, file), "utf8").trim()).join("\n\n");
    return [{ name: folder.slice(folder.lastIndexOf("node_modules/") + 13), version, licence: license ?? "see text", text }];
  }).sort((a, b) => a.name.localeCompare(b.name, "en"));
}

function filesIn(folder: string): string[] | undefined {
  try {
    return readdirSync(folder, { withFileTypes: true }).filter((one) => one.isFile()).map((one) => one.name);
  } catch (error) {
    if (error instanceof Error && "code" in error && error.code === "ENOENT") return undefined;
    throw error;
  }
}
