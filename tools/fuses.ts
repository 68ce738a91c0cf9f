/** `node tools/fuses.ts BINARY`: reads the fuses of a built program back and compares them with electron-builder.json. */
import { readFileSync } from "node:fs";
import { FuseState, FuseV1Options, getCurrentFuseWire } from "@electron/fuses";
import { root } from "./run.ts";

/** The options of electron-builder.json by the fuse each of them sets. */
export const FUSES = {
  runAsNode: FuseV1Options.RunAsNode,
  enableCookieEncryption: FuseV1Options.EnableCookieEncryption,
  enableNodeOptionsEnvironmentVariable: FuseV1Options.EnableNodeOptionsEnvironmentVariable,
  enableNodeCliInspectArguments: FuseV1Options.EnableNodeCliInspectArguments,
  enableEmbeddedAsarIntegrityValidation: FuseV1Options.EnableEmbeddedAsarIntegrityValidation,
  onlyLoadAppFromAsar: FuseV1Options.OnlyLoadAppFromAsar,
  loadBrowserProcessSpecificV8Snapshot: FuseV1Options.LoadBrowserProcessSpecificV8Snapshot,
  grantFileProtocolExtraPrivileges: FuseV1Options.GrantFileProtocolExtraPrivileges,
} as const;

/** The fuses that are not set as configured, by name. */
export async function wrongFuses(binary: string): Promise<string[]> {
  const { electronFuses } = JSON.parse(readFileSync(`${root}/electron-builder.json`, "utf8")) as { electronFuses: Record<keyof typeof FUSES, boolean> };
  const wire = await getCurrentFuseWire(binary);
  return (Object.keys(FUSES) as (keyof typeof FUSES)[]).filter((name) => wire[FUSES[name]] !== (electronFuses[name] ? FuseState.ENABLE : FuseState.DISABLE));
}

if (import.meta.main) {
  const wrong = await wrongFuses(process.argv[2]);
  console.log(wrong.length === 0 ? "All fuses are set as configured." : `Not set as configured: ${wrong.join(", ")}.`);
  if (wrong.length > 0) process.exitCode = 1;
}
