// Predicted U against the U that the check states, and against its real errors, on drawn pictures of one layout.
// Run: node tests/bench/predicted.ts [pictures of each kind: 6; the claim is made with 200]
import { checkSheet } from "../../core/check/check.ts";
import { medianOf } from "../../core/statistics/median.ts";
import { predict, type Prediction } from "../../core/design/predict.ts";
import { proposeMarks } from "../../core/design/propose.ts";
import type { Setup } from "../../core/design/setup.ts";
import type { Job } from "../../core/job/schema.ts";
import { drawPicture } from "../../core/sample/draw.ts";
import { makeJob } from "../../core/sample/jobs.ts";
import { randomOf, seedOf } from "../../core/sample/random.ts";
import { sceneOf, trialOf } from "../../core/sample/scenarios.ts";
import { truthOf } from "../../core/sample/truth.ts";

const COUNT = Number(process.argv[2] ?? 6);
const KEYS = ["offset", "rotation", "skew", "scale", "worst"] as const;
const SIZE = [450, 320] as const;

const made = makeJob({ state: "in-sheet", sheets: [SIZE], marks: [4, 4], qr: false }, randomOf(seedOf(2, 0, 0)));
const proposal = proposeMarks({ ...made, marks: [] }, { kind: "phone", distance: 600 }, { count: 8 });
if (!proposal.ok) throw new Error(proposal.reason);
const job: Job = { ...made, marks: [...proposal.marks] };

for (const scan of [true, false]) {
  const found: Record<(typeof KEYS)[number], number[]> = { offset: [], rotation: [], skew: [], scale: [], worst: [] };
  const errors: Record<(typeof KEYS)[number], number[]> = { offset: [], rotation: [], skew: [], scale: [], worst: [] };
  const scales: number[] = [];
  let refused = 0;
  for (let i = 0; i < COUNT; i++) {
    const random = randomOf(seedOf(7, scan ? 1 : 0, i));
    const { board } = trialOf("scan", i, 11).scene;
    const wish = { scan, sheets: [SIZE], marks: [4, 4] as const, lookAlikes: random.whole(10, 40), mirrored: false, turn: random.between(-3, 3), board: { look: board, name: "white" as const }, hidden: 0 };
    const scene = sceneOf(job, random, wish);
    const { record } = checkSheet(drawPicture(scene), job, { image: `${i}` });
    if (record.status !== "measured") {
      refused++;
      continue;
    }
    const truth = truthOf(scene);
    scales.push(record.view.pxPerMm);
    for (const key of KEYS) found[key].push(record[key].U);
    errors.offset.push(Math.abs(record.offset.x - truth.offset.x), Math.abs(record.offset.y - truth.offset.y));
    errors.rotation.push(Math.abs(record.rotation.value - truth.rotation));
    errors.skew.push(Math.abs(record.skew.value - truth.skew));
    errors.scale.push(Math.abs(record.scale.x - truth.scale.x), Math.abs(record.scale.y - truth.scale.y));
    errors.worst.push(Math.abs(Math.abs(record.worst.value) - Math.abs(truth.worst.value)));
  }
  const setup: Setup = scan ? { kind: "scanner", dpi: 300 } : { kind: "phone", distance: distanceFor(medianOf(scales)) };
  const prediction = predict(job, setup);
  if (!prediction.ok) throw new Error(prediction.reason);
  console.log(`${scan ? "scan, 300 dpi" : `phone, ${medianOf(scales).toFixed(1)} px/mm`}: ${scales.length} pictures, ${refused} refused`);
  for (const key of KEYS) console.log(lineOf(key, prediction, found[key], errors[key]));
}

function lineOf(key: (typeof KEYS)[number], p: Prediction, found: readonly number[], errors: readonly number[]): string {
  const predicted = key === "worst" ? p.worst.U : p[key];
  const sorted = [...found].sort((a, b) => a - b);
  const at = (q: number) => sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))];
  const off = 100 * (predicted / medianOf(found) - 1);
  const real = [...errors].sort((a, b) => a - b)[Math.floor(0.95 * (errors.length - 1))];
  return `  ${key.padEnd(9)} predicted ${predicted.toFixed(4)}, stated by the check: median ${medianOf(found).toFixed(4)} (${off >= 0 ? "+" : ""}${off.toFixed(0)} %), 10 % ${at(0.1).toFixed(4)}, 90 % ${at(0.9).toFixed(4)}; 95 % of real errors within ${real.toFixed(4)}`;
}

/** How far a phone stands for this scale (px per mm goes with one over the distance). */
function distanceFor(pxPerMm: number): number {
  const at = predict(job, { kind: "phone", distance: 1000 });
  return at.ok ? (1000 * at.pxPerMm) / pxPerMm : 1000;
}
