import { writeSync } from "node:fs";
import { openLibrary } from "../../../electron/host/library/library.ts";
import { measured, overlay, picture, second } from "./records.ts";

/**
 * A child process for the kill tests: takes in pictures `from`, `from + 1`, ... of run 1 until it is killed, or until `to`. After each acknowledged
 * check it writes the picture's number to standard output (a direct write: nothing waits in a buffer).
 * Arguments: folder, from, to.
 */
const [folder, from, to] = process.argv.slice(2);
try {
  const library = await openLibrary(folder);
  writeSync(1, "open\n");
  for (let i = Number(from); i < Number(to); i++) {
    const record = measured(String(i), (i % 7) / 10, { image: `picture-${i}` });
    await library.checks.add({ runId: 1, jobVersionId: 1, picture: picture(`p${i}`), takenAt: second(i), outcome: { record, overlay } });
    writeSync(1, `${i}\n`);
  }
  await library.close();
} catch (error) {
  writeSync(2, `${error instanceof Error ? `${error.name}: ${error.message}` : String(error)}\n`);
  process.exitCode = 1;
}
