import { flattenCut } from "../../../core/job/paths.ts";
import { markSize } from "../../../core/job/markSize.ts";
import type { Job } from "../../../core/job/schema.ts";

/** Lines of a sketch at most; a job with more is recognised by these. */
const MOST_POINTS = 20_000;

/** A small picture of a job's sheet, SVG: its cuts, creases (dashed) and marks on white board, for lists. */
export function sketchOf({ sheet, cuts, marks, codes }: Pick<Job, "sheet" | "cuts" | "marks" | "codes">): string {
  const { width, height } = sheet;
  const line = Math.max(width, height) / 120;
  const n = (v: number) => String(Math.round(v * 10) / 10);
  const paths: Record<"cut" | "crease", string[]> = { cut: [], crease: [] };
  let points = 0;
  for (const cut of cuts) {
    for (const run of flattenCut(cut, line / 2)) {
      if ((points += run.points.length) > MOST_POINTS) break;
      paths[cut.kind].push(`M${run.points.map((p) => `${n(p.x)} ${n(height - p.y)}`).join("L")}${run.closed ? "Z" : ""}`);
    }
  }
  const dots = marks.map((m) => `<circle cx="${n(m.x)}" cy="${n(height - m.y)}" r="${n(Math.max(markSize(m) / 2, line))}"/>`).join("");
  const squares = codes.map((c) => `<rect x="${n(c.x - c.size / 2)}" y="${n(height - c.y - c.size / 2)}" width="${n(c.size)}" height="${n(c.size)}"/>`).join("");
  const edge = line / 2;
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="${-edge} ${-edge} ${width + line} ${height + line}"><rect width="${width}" height="${height}" fill="#ffffff" stroke="#7b878f" stroke-width="${line / 2}"/><g fill="none" stroke-width="${line}"><path stroke="#0d5966" stroke-dasharray="${2 * line} ${2 * line}" d="${paths.crease.join("")}"/><path stroke="#b02a1a" d="${paths.cut.join("")}"/></g><g fill="#14191d">${dots}${squares}</g></svg>`;
}
