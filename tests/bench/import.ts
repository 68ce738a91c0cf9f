// Time and memory of importing 200,000 segments in each format, to a job. Run: node tests/bench/import.ts [svg|dxf|pdf]
import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { deflateSync } from "node:zlib";
import { PDFDocument, PDFName } from "pdf-lib";
import type { ReadDrawing } from "../../core/job/import/drawing.ts";
import { readDxf } from "../../core/job/import/dxf.ts";
import { readPdf } from "../../core/job/import/pdf.ts";
import { readSvg } from "../../core/job/import/svg.ts";
import { draftJob } from "../../core/job/import/toJob.ts";

const SEGMENTS = 200_000;
/** 2,000 outlines of 100 segments each, as separate lines in DXF. */
const rings = Array.from({ length: SEGMENTS / 100 }, (_, r) =>
  Array.from({ length: 100 }, (_, i) => [20 + 22 * (r % 50) + 9 * Math.cos((2 * Math.PI * i) / 100), 20 + 22 * Math.floor(r / 50) + 9 * Math.sin((2 * Math.PI * i) / 100)]),
);
const pathOf = (ring: number[][]) => `M${ring.map((p) => p.map((v) => v.toFixed(3)).join(" ")).join("L")}Z`;

const makers: Record<string, () => Promise<() => Promise<ReadDrawing>>> = {
  async svg() {
    const text = `<svg xmlns="http://www.w3.org/2000/svg" width="1200mm" height="1000mm" viewBox="0 0 1200 1000"><g id="cut" fill="none" stroke="red">${rings.map((r) => `<path d="${pathOf(r)}"/>`).join("")}</g></svg>`;
    return async () => readSvg(text);
  },
  async dxf() {
    const lines = rings.flatMap((ring) => ring.map((p, i) => `0\nLINE\n8\nCUT\n10\n${p[0].toFixed(6)}\n20\n${p[1].toFixed(6)}\n11\n${ring[(i + 1) % 100][0].toFixed(6)}\n21\n${ring[(i + 1) % 100][1].toFixed(6)}\n`));
    const text = `0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n${lines.join("")}0\nENDSEC\n0\nEOF\n`;
    return async () => readDxf(text);
  },
  async pdf() {
    const document = await PDFDocument.create();
    const page = document.addPage([3400, 2900]);
    const content = rings.map((r) => `${r.map((p, i) => `${p[0].toFixed(3)} ${p[1].toFixed(3)} ${i ? "l" : "m"}`).join(" ")} s`).join("\n");
    page.node.set(PDFName.of("Contents"), document.context.register(document.context.stream(deflateSync(content), { Filter: "FlateDecode" })));
    const bytes = await document.save();
    return async () => readPdf(bytes);
  },
};

if (process.argv[2]) await time(process.argv[2]);
// A process to each format, so that one's memory is not counted for another.
else for (const format of Object.keys(makers)) execFileSync(process.execPath, [fileURLToPath(import.meta.url), format], { stdio: "inherit" });

async function time(format: string): Promise<void> {
  const read = await makers[format]();
  const before = process.resourceUsage().maxRSS / 1024;
  const cpu = process.cpuUsage();
  const start = performance.now();
  const result = await read();
  if (!result.ok) throw new Error(result.reason);
  const readAt = performance.now();
  const draft = draftJob(result.drawing, result.drawing.groups.map(() => "cut"), { id: "bench" });
  const end = performance.now();
  const { user, system } = process.cpuUsage(cpu);
  console.log(`${format}: ${SEGMENTS} segments, read ${(readAt - start).toFixed(0)} ms, to a job of ${draft?.job.cuts.length} cuts ${(end - readAt).toFixed(0)} ms, together ${((end - start) / 1000).toFixed(2)} s (${((user + system) / 1e6).toFixed(2)} s of processor); peak memory ${(process.resourceUsage().maxRSS / 1024).toFixed(0)} MB (${before.toFixed(0)} MB before)`);
}
