import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { drawPicture } from "../../../core/sample/draw.ts";
import { trialOf, type Encoding, type Row, type Trial } from "../../../core/sample/scenarios.ts";
import type { Scene } from "../../../core/sample/scene.ts";
import { encodePicture, endingOf } from "../../../electron/cli/verbs/samplePicture.ts";

/** One picture of the benchmark: the same three draw the same picture. */
export interface TrialTask {
  readonly row: Row;
  readonly index: number;
  readonly seed: number;
}

const root = fileURLToPath(new URL("../../../", import.meta.url));
/** Files of core/sample that have no hand in a picture. */
const APART = new Set(["truth.ts", "verdict.ts", "run.ts", "demoScene.ts"]);

/** Pictures are kept in an ignored folder by the hash of all that draws them, so that a second run only measures. */
const store = join(root, ".cache", "accuracy", drawingHash());

function drawingHash(): string {
  const hash = createHash("sha256");
  const folder = join(root, "core/sample");
  for (const name of readdirSync(folder).sort()) if (!APART.has(name)) hash.update(readFileSync(join(folder, name)));
  return hash.digest("hex").slice(0, 12);
}

/** Where a trial's picture is kept; it is drawn where it is not there yet. */
export async function pictureOf({ row, index, seed }: TrialTask, { scene, encoding }: Trial = trialOf(row, index, seed)): Promise<string> {
  return keptPicture(`${row}-${seed}-${index}`, scene, encoding);
}

/** Where a scene's picture is kept under a name; it is drawn where it is not there yet. */
export async function keptPicture(name: string, scene: Scene, encoding: Encoding): Promise<string> {
  const file = join(store, `${name}.${endingOf(encoding)}`);
  if (existsSync(file)) return file;
  mkdirSync(store, { recursive: true });
  const part = `${file}.${process.pid}.part`;
  writeFileSync(part, await encodePicture(drawPicture(scene), encoding));
  renameSync(part, file);
  return file;
}
