import type { Job } from "../job/schema.ts";
import { artworkOf } from "./artwork.ts";
import { makeJob } from "./jobs.ts";
import { exact } from "./layerMap.ts";
import { randomOf, seedOf } from "./random.ts";
import type { Scene } from "./scene.ts";

/** The demo's job: shelf trays of a seed company that does not exist, with a code on every sheet. */
export function inSheetJob(seed: number): Job {
  const job = makeJob({ state: "in-sheet", sheets: [[450, 320]], marks: [8, 8], qr: true }, randomOf(seedOf(seed, 1)));
  // Folds are not judged: over printed pictures a photo shows them too faintly to tell 0.8 mm.
  const tolerance = { position: 0.5, offset: 0.4, rotation: 0.8, skew: 0.8, scale: 1 };
  return { ...job, tolerance, id: "TRAY-7", name: `${job.name}, Quillfern Seeds`, cutFrom: "reverse", flip: "x" };
}

/** One sheet of the demo's run as an operator would photograph it on the bench: the same print and board, another hold of the camera. */
export function runScene(job: Job, seed: number, sheet: number): Scene {
  const random = randomOf(seedOf(seed, 2, sheet));
  const centre = { x: job.sheet.width / 2, y: job.sheet.height / 2 };
  const number = String(sheet);
  const look = { onBlack: false, markInk: "black" as const, lightMarks: false, gain: 0.02, rough: 0.01, hidden: new Set<string>(), lookAlikes: 24, strokes: 10, panels: true };
  return {
    job, sheet: number, seed: seedOf(seed, 3, sheet),
    print: { ...exact(centre), offset: { x: 0.3 * random.normal(), y: 0.3 * random.normal() }, rotation: 0.2 * random.normal() },
    cut: { ...exact(centre), scale: { x: 0.1, y: -0.08 } },
    board: { colour: [0.83, 0.84, 0.84], edge: [0.5, 0.42, 0.3], fibre: 0.012, fleck: 0, thickness: 1.5 },
    inks: artworkOf(job, number, look, randomOf(seedOf(seed, 4))),
    cutting: {
      slit: 0.25, depthLight: 0.08, lip: 0.12, lipLight: 0.06, lipInside: 0, shade: 0.25, shadeDepth: 0.06, wander: 0.005, unevenness: 0.2,
      nicks: { length: 0.6, every: 80 }, crease: { width: 0.6, depth: 0.12, slope: 0.05 },
    },
    table: { colour: [0.12, 0.08, 0.045], grain: 0.12, shade: 1.5, shadeDepth: 0.35 },
    light: { exposure: 0.72, gradient: 0.2, from: 2.2, shadow: null, glare: null, vignette: 0.15 },
    imaging: {
      kind: "camera", width: 3000, height: 2250, focal: 3000, principal: { x: 0, y: 0 }, lens: { k1: 0, k2: 0, p1: 0, p2: 0 },
      tilt: random.between(3, 14), towards: random.between(0, 360), turn: random.between(-5, 5), mirrored: false, fill: 0.92,
    },
    sensor: { channels: 3, blur: { x: 0.8, y: 0.85 }, shot: 4e-5, read: 0.0015, density: null },
  };
}
