/** `npm run dist`: installers for this platform in release/, and the fuses of what was packed read back. */
import { readdirSync, statSync } from "node:fs";
import path from "node:path";
import { buildAll } from "./building.ts";
import { wrongFuses } from "./fuses.ts";
import { drawIcons } from "./icons.ts";
import { root, runBin } from "./run.ts";

await buildAll();
await drawIcons();
const status = await runBin("electron-builder", "electron-builder", ["--config", "electron-builder.json", ...process.argv.slice(2)]);
if (status !== 0) process.exitCode = status;
else for (const binary of packed()) {
  const wrong = await wrongFuses(binary);
  console.log(`${path.relative(root, binary)}: ${wrong.length === 0 ? "fuses as configured" : `fuses wrong: ${wrong.join(", ")}`}`);
  if (wrong.length > 0) process.exitCode = 1;
}

/** The programs that electron-builder left unpacked beside the installers. */
function packed(): string[] {
  const folder = path.join(root, "release");
  const names = ["linux-unpacked/kerfmark", "win-unpacked/Kerfmark.exe", "mac/Kerfmark.app", "mac-arm64/Kerfmark.app"];
  const found = names.map((name) => path.join(folder, name)).filter((file) => statSync(file, { throwIfNoEntry: false }));
  if (found.length === 0) throw new Error(`No packed program was found in release/: ${readdirSync(folder).join(", ")}`);
  return found;
}
