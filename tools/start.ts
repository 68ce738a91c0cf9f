/** `npm start`: the program's window, or the same screens in the system's browser where Electron cannot be had. */
import { programUpToDate, screensUpToDate } from "./building.ts";
import { electronBinary } from "./electronBinary.ts";
import { root, run } from "./run.ts";

const electron = process.argv.includes("--browser") ? { reason: "the browser was asked for" } : electronBinary();
await screensUpToDate();
if ("path" in electron) await programUpToDate();

if ("path" in electron) {
  process.exitCode = await run(electron.path, [root, ...process.argv.slice(2)]);
} else {
  process.stderr.write(`Opening the screens in the browser: ${electron.reason}.\n`);
  const { openDesk } = await import("../electron/cli/desk/desk.ts");
  await openDesk({ browser: !process.argv.includes("--no-browser") });
}
