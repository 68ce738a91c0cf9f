// Proposed layouts against random ones: worst predicted U, and the time it takes to propose. Run: node tests/bench/design.ts [random layouts: 2000]
import { worstOf } from "../../core/design/predict.ts";
import { freePlaces } from "../../core/design/places.ts";
import { prepare, sightMark } from "../../core/design/prepare.ts";
import { proposeMarks } from "../../core/design/propose.ts";
import type { Setup } from "../../core/design/setup.ts";
import type { Job, Mark } from "../../core/job/schema.ts";
import { makeJob } from "../../core/sample/jobs.ts";
import { randomOf, seedOf } from "../../core/sample/random.ts";

const LAYOUTS = Number(process.argv[2] ?? 2000);
const setups: Record<string, Setup> = { "phone at 900 mm": { kind: "phone", distance: 900 }, "scan at 300 dpi": { kind: "scanner", dpi: 300 } };
const made = makeJob({ state: "in-sheet", sheets: [[600, 400]], marks: [4, 4], qr: false }, randomOf(seedOf(1, 0, 0)));
const job: Job = { ...made, marks: [] };

for (const [name, setup] of Object.entries(setups)) {
  const prepared = prepare(job, setup);
  if (!prepared.ok) throw new Error(prepared.reason);
  // Proposed and random layouts are weighed alike: in one frame, by the check's own fit.
  const weighed = (marks: readonly Mark[]) => worstOf(prepared, marks.map((m, i) => sightMark(prepared, m, i)).filter((m) => m !== null));
  const worst = (marks: readonly Mark[]): number => weighed(marks)?.U ?? Infinity;
  /** The part of it that marks can change: without what is common to all stretches, as lips. */
  const ownPart = (marks: readonly Mark[]): number => {
    const w = weighed(marks);
    return w ? Math.sqrt(w.U ** 2 - 4 * w.common ** 2) : Infinity;
  };
  for (const count of [4, 6, 9]) {
    const cpu = process.cpuUsage();
    const start = performance.now();
    const proposal = proposeMarks(job, setup, { count });
    const wall = (performance.now() - start) / 1000;
    const { user, system } = process.cpuUsage(cpu);
    if (!proposal.ok) throw new Error(proposal.reason);
    const places = freePlaces(job, { radius: 5, fromEdge: 9 });
    const random = randomOf(seedOf(2, count, 0));
    const found: number[] = [];
    let leastOwn = Infinity;
    for (let i = 0; i < LAYOUTS; i++) {
      const chosen: Mark[] = [];
      while (chosen.length < count) {
        const p = random.pick(places);
        if (chosen.every((m) => Math.hypot(m.x - p.x, m.y - p.y) > 10)) chosen.push({ id: `M${chosen.length + 1}`, shape: "dot", x: p.x, y: p.y, diameter: 6 });
      }
      found.push(worst(chosen));
      leastOwn = Math.min(leastOwn, ownPart(chosen));
    }
    found.sort((a, b) => a - b);
    const own = worst(proposal.marks);
    console.log(`${name}, ${count} marks: worst U proposed ${own.toFixed(5)} mm; of ${LAYOUTS} random layouts best ${found[0].toFixed(5)} mm (proposed ${(100 * (own / found[0] - 1)).toFixed(2)} %), median ${found[LAYOUTS >> 1].toFixed(5)} mm; the part that marks can change ${ownPart(proposal.marks).toFixed(5)} mm, best ${leastOwn.toFixed(5)} mm (${(100 * (ownPart(proposal.marks) / leastOwn - 1)).toFixed(1)} %); ${wall.toFixed(2)} s, ${((user + system) / 1e6).toFixed(2)} s of processor`);
  }
}
