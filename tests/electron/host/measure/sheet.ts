import sharp, { type Sharp } from "sharp";
import type { Job } from "../../../../core/job/schema.ts";

/** A small sheet with six dots and one rectangular cut, for tests of what lies around the measurement (not of its accuracy). */
export const JOB: Job = {
  format: "kerfmark.job/1", id: "TRAY-1", name: "Seed tray", sheet: { width: 297, height: 210 }, cutFrom: "print", flip: "x", codes: [],
  marks: [[20, 20], [277, 20], [277, 190], [20, 190], [150, 20], [20, 120]].map(([x, y], i) => ({ id: `M${i + 1}`, shape: "dot", x, y, diameter: 6 })),
  cuts: [{ id: "blank", kind: "cut", path: "M 60 50 L 240 50 L 240 160 L 60 160 Z" }],
  state: "in-sheet", tolerance: { position: 0.5 },
};

export interface Drawing {
  readonly pxPerMm?: number;
  /** By how much the cut lies right of the print, mm. */
  readonly right?: number;
  /** Round look-alikes in the artwork inside the cut. */
  readonly lookAlikes?: number;
  /** Dark print up to so many mm from the sheet's left, beside and inside the cut; none by default. */
  readonly darkUpTo?: number;
  /** Colour of the slit, whatever it lies on. */
  readonly slit?: string;
}

/** Draws the sheet by SVG, colour on paper. */
export function drawSheet({ pxPerMm = 6, right = 0.1, lookAlikes = 0, darkUpTo = 0, slit = "#303030" }: Drawing = {}): Sharp {
  const { width, height } = JOB.sheet;
  const dots = JOB.marks.map(({ x, y }) => `<circle cx="${x}" cy="${height - y}" r="3" fill="#181818"/>`);
  // Spread by the golden ratio and its square root, sizes from under a mark's to above it.
  const art = Array.from({ length: lookAlikes }, (_, i) => {
    const x = 66 + 168 * ((0.5 + i * 0.6180339887) % 1);
    const y = 56 + 98 * ((0.5 + i * 0.7548776662) % 1);
    return `<circle cx="${x}" cy="${y}" r="${(1.4 + ((i * 0.5698402910) % 1)) * Math.min(1.6, 30 / Math.sqrt(lookAlikes))}" fill="hsl(${(i * 47) % 360} 60% 40%)"/>`;
  });
  const dark = `<rect x="40" y="${height - 180}" width="${Math.max(0, darkUpTo - 40)}" height="150" fill="#1c1c22"/>`;
  const cut = `<rect x="${60 + right}" y="${height - 160}" width="180" height="110" fill="none" stroke="${slit}" stroke-width="0.25"/>`;
  const size = `width="${Math.round(width * pxPerMm)}" height="${Math.round(height * pxPerMm)}"`;
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" ${size} viewBox="0 0 ${width} ${height}"><rect width="100%" height="100%" fill="#f1efe8"/>${[...dots, dark, ...art].join("")}${cut}</svg>`;
  return sharp(Buffer.from(svg), { limitInputPixels: false }).flatten({ background: "#ffffff" }).blur(0.8);
}
