import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** Gives all tests of a run one folder for what they write to the system's temporary one, and takes it away when they are done. */
export default function ownTemp(): () => void {
  const folder = mkdtempSync(join(tmpdir(), "kerfmark-tests-"));
  process.env.TMPDIR = folder;
  return () => rmSync(folder, { recursive: true, force: true });
}
