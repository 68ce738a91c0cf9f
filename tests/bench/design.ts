// Proposed layouts against random ones: worst predicted U, and the time it takes. Run: node tests/bench/design.ts [random layouts]
import { predict } from "../../core/design/predict.ts";
import { freePlaces } from "../../core/design/places.ts";
import { proposeMarks } from "../../core/design/propose.ts";
import type { Setup } from "../../core/design/setup.ts";
import type { Job, Mark } from "../../core/job/schema.ts";
import { makeJob } from "../../core/sample/jobs.ts";
import { randomOf, seedOf } from "../../core/sample/random.ts";

const LAYOUTS = Number(process.argv[2] ?? 2000);
const setups: Record<string, Setup> = { "phone at 900 mm": { kind: "phone", distance: 900 }, "scan at 300 dpi": { kind: "scanner", dpi: 300 } };

for (const [name, setup] of Object.entries(setups)) {
  for (const count of [4, 6, 9]) {
    const random = randomOf(seedOf(1, 0, 0));
    const made = makeJob({ state: "in-sheet", sheets: [[600, 400]], marks: [4, 4], qr: false }, random);
    const job: Job = { ...made, marks: [] };
    const cpu = process.cpuUsage();
    const start = performance.now();
    const proposal = proposeMarks(job, setup, { count });
    const wall = (performance.now() - start) / 1000;
    const { user, system } = process.cpuUsage(cpu);
    if (!proposal.ok) throw new Error(proposal.reason);
    const places = freePlaces(job, { radius: 5, fromEdge: 9 });
    let best = Infinity;
    for (let i = 0; i < LAYOUTS; i++) {
      const chosen: Mark[] = [];
      while (chosen.length < count) {
        const p = random.pick(places);
        if (chosen.every((m) => Math.hypot(m.x - p.x, m.y - p.y) > 10)) chosen.push({ id: `M${chosen.length + 1}`, shape: "dot", x: p.x, y: p.y, diameter: 6 });
      }
      const trial = predict({ ...job, marks: chosen }, setup);
      if (trial.ok && trial.worst.U < best) best = trial.worst.U;
    }
    console.log(`${name}, ${count} marks: worst U proposed ${proposal.prediction.worst.U.toFixed(5)} mm, best of ${LAYOUTS} random ${best.toFixed(5)} mm (${(100 * (proposal.prediction.worst.U / best - 1)).toFixed(2)} %); ${wall.toFixed(2)} s, ${((user + system) / 1e6).toFixed(2)} s of processor`);
  }
}
