// Time, memory and size of 10,000 numbered pages (a PDF of codes for variable printing). Run: node tests/bench/numbered.ts [pages]
import { exportNumbered } from "../../core/job/export/numbered.ts";
import type { Job } from "../../core/job/schema.ts";

const count = Number(process.argv[2] ?? 10_000);
const job: Job = {
  format: "kerfmark.job/1", id: "TRAY-7", name: "Shelf tray, 7 up", sheet: { width: 1000, height: 700 }, cutFrom: "print", flip: "x",
  marks: [[20, 20], [980, 20], [980, 680], [40, 680]].map(([x, y], i) => ({ id: `M${i + 1}`, shape: "dot" as const, x, y, diameter: 6 })),
  codes: [{ symbology: "qr", x: 60, y: 20, size: 18, payload: "job={job};sheet={sheet}" }],
  cuts: [{ id: "blank", kind: "cut", path: "M 100 100 H 900 V 600 H 100 Z" }], state: "in-sheet", tolerance: { position: 0.5 },
};
const start = performance.now();
const cpu = process.cpuUsage();
const made = await exportNumbered(job, { from: 1, count, marks: true });
if (!made.ok) throw new Error(made.reason);
const { user, system } = process.cpuUsage(cpu);
console.log(`${count} numbered pages: ${((performance.now() - start) / 1000).toFixed(1)} s (${((user + system) / 1e6).toFixed(1)} s of processor), ${(made.file.length / 1e6).toFixed(1)} MB, peak memory ${(process.resourceUsage().maxRSS / 1024).toFixed(0)} MB`);
