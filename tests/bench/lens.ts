/**
 * Prints how well photos through strong lenses are measured, with the camera's profile and without: node tests/bench/lens.ts [--n 4] [--from 0] [--seed 1] [--show]
 * Drawn pictures of 12 MP, sheets of 1000 x 700 mm with eight marks, k1 within 0.25, tilt to 25 degrees. The profile is off by a draw from a calibration's own uncertainty.
 * Drawing a picture takes most of the time. `--show` tells of each picture how its slits and light are, and by how much cuts of each direction are found off under the true view.
 */
import { parseArgs } from "node:util";
import { checkSheet } from "../../core/check/check.ts";
import type { Measured } from "../../core/check/record.ts";
import type { CameraProfile } from "../../core/camera/profile.ts";
import { drawPicture } from "../../core/sample/draw.ts";
import { makeJob } from "../../core/sample/jobs.ts";
import { randomOf, seedOf } from "../../core/sample/random.ts";
import { sceneOf } from "../../core/sample/scenarios.ts";
import type { Scene } from "../../core/sample/scene.ts";
import { truthOf, type Truth } from "../../core/sample/truth.ts";
import { cutErrors } from "./parts/accuracyCuts.ts";
import { quantile } from "./parts/accuracyScore.ts";
import { lensUncertainty, lensWithError } from "./parts/lensUncertainty.ts";

const { values: options } = parseArgs({ options: { n: { type: "string", default: "4" }, from: { type: "string", default: "0" }, seed: { type: "string", default: "1" }, show: { type: "boolean", default: false } } });
const [n, from, seed] = [Number(options.n), Number(options.from), Number(options.seed)];
const SHEETS = [[1000, 700]] as const;
const lenses = lensUncertainty(randomOf(7));

interface Outcome {
  readonly offset: number;
  readonly worst: number;
  readonly offsetU: number;
  readonly worstU: number;
  /** What each line of the budget puts into a component of the offset, mm. */
  readonly parts: ReadonlyMap<string, number>;
}

const results: Record<"profile" | "none", Outcome[]> = { profile: [], none: [] };
const refused: string[] = [];
for (let i = from; i < from + n; i++) {
  const random = randomOf(seedOf(seed, 501, i));
  const scene = sceneFor(random);
  const truth = truthOf(scene);
  const picture = drawPicture(scene);
  if (options.show) show(scene, picture, truth);
  const k1 = scene.imaging.kind === "camera" ? scene.imaging.lens.k1 : 0;
  for (const way of ["profile", "none"] as const) {
    const { record } = checkSheet(picture, scene.job, { image: `lens-${i}`, ...(way === "profile" ? { profile: profileOf(scene, random) } : {}) });
    if (record.status !== "measured") {
      refused.push(`${i} ${way}: ${record.refusal.code}`);
      continue;
    }
    const outcome = errorsOf(record, truth);
    results[way].push(outcome);
    console.log(`${String(i).padStart(3)} ${way.padEnd(8)} k1 ${k1.toFixed(3).padStart(6)}, found ${(record.view.lens.k1 ?? 0).toFixed(3).padStart(6)}, tilt ${record.view.tilt.toFixed(0).padStart(2)}: `
      + `offset off ${outcome.offset.toFixed(4)} (U ${outcome.offsetU.toFixed(4)}), worst off ${outcome.worst.toFixed(4)} (U ${outcome.worstU.toFixed(4)}) mm`);
  }
}
for (const way of ["profile", "none"] as const) {
  const list = results[way];
  const held = (of: (o: Outcome) => boolean): string => `${list.filter(of).length} of ${list.length}`;
  console.log(`\n${way === "profile" ? "With a profile" : "Without, 8 marks"}: offset error p50 ${quantile(list.map((o) => o.offset), 0.5).toFixed(4)}, p95 ${quantile(list.map((o) => o.offset), 0.95).toFixed(4)} mm; `
    + `worst p50 ${quantile(list.map((o) => o.worst), 0.5).toFixed(4)}, p95 ${quantile(list.map((o) => o.worst), 0.95).toFixed(4)} mm; within U: offset ${held((o) => o.offset <= o.offsetU)}, worst ${held((o) => o.worst <= o.worstU)}`);
  console.log(`  What the fit's and the profiles' information leaves to an offset: p95 ${radiusHeld(list.map((o) => o.offsetU / 2), 0.95).toFixed(4)} mm; of a component, root mean square: `
    + [...new Set(list.flatMap((o) => [...o.parts.keys()]))].map((source) => `${source} ${Math.sqrt(list.reduce((sum, o) => sum + (o.parts.get(source) ?? 0) ** 2, 0) / list.length).toFixed(4)}`).join(", "));
}
console.log(`\nTo reach: with a profile 0.02 and 0.05 mm (p95), without 0.03 and 0.08 mm. Refused: ${refused.join("; ") || "none"}.`);

/** The length within which a share of offsets lies whose two components are normal, with standard uncertainties u that differ from picture to picture: mean of 1 - exp(-r^2 / 2 u^2). */
function radiusHeld(u: readonly number[], share: number): number {
  let [low, high] = [0, 10 * Math.max(...u, 0)];
  for (let pass = 0; pass < 50; pass++) {
    const r = (low + high) / 2;
    if (u.reduce((sum, v) => sum + 1 - Math.exp(-0.5 * (r / v) ** 2), 0) < share * u.length) low = r;
    else high = r;
  }
  return high;
}

function show(scene: Scene, picture: ReturnType<typeof drawPicture>, truth: Truth): void {
  console.log(`slit ${JSON.stringify(scene.cutting)}\nlight ${JSON.stringify(scene.light)}\nsensor ${JSON.stringify(scene.sensor)}; ${truth.view.pxPerMm.toFixed(2)} px/mm`);
  for (const line of cutErrors(picture, scene.job, scene, truth.view.pxPerMm)) if (line.includes("normal")) console.log(line);
}

function sceneFor(random: ReturnType<typeof randomOf>): Scene {
  const wish = { scan: false, sheets: SHEETS, marks: [8, 8] as const, lookAlikes: 30, k1: random.between(-0.25, 0.25) };
  const job = makeJob({ state: "in-sheet", sheets: SHEETS, marks: wish.marks, qr: true }, random);
  const board = { name: "white" as const, look: { colour: [0.84, 0.85, 0.85] as const, edge: [0.5, 0.42, 0.3] as const, fibre: 0.012, fleck: 0, thickness: 1.5 } };
  return sceneOf(job, random, { ...wish, mirrored: false, turn: 8 * random.between(-1, 1), board, hidden: 0 });
}

/** The profile of the scene's camera, as a calibration would have it. */
function profileOf({ imaging }: Scene, random: ReturnType<typeof randomOf>): CameraProfile {
  if (imaging.kind !== "camera") throw new TypeError("The scene is a photo.");
  const { width, height } = imaging;
  return {
    format: "kerfmark.camera/1", kind: "camera", name: "Drawn camera", date: "2026-01-01", exif: {}, picture: { width, height }, target: "simulated", pictures: 10, points: 2000, rms: 0.07,
    residuals: { columns: 1, rows: 1, dx: [0], dy: [0], count: [2000] }, verdict: { grade: "good", findings: [] }, lens: lensWithError(imaging, lenses, random),
    estimated: ["fx", "fy", "cx", "cy", "k1", "k2", "p1", "p2"], covariance: lenses.covariance.map((row) => [...row]),
  };
}

function errorsOf(record: Measured, truth: Truth): Outcome {
  return {
    offset: Math.hypot(record.offset.x - truth.offset.x, record.offset.y - truth.offset.y), offsetU: record.offset.U,
    worst: Math.abs(Math.abs(record.worst.value) - Math.abs(truth.worst.value)), worstU: record.worst.U,
    parts: new Map(record.budget.map((line) => [line.source, line.contribution])),
  };
}
